// @ts-check
// The roll call's page: opens the pack and the outbox, draws the state that the address names, and lets one act at a
// time through. An act is shown as done only when it is kept.

import { usePalette } from './page-palette.js';
import { Kept } from './kept.js';
import { Sending } from './sending.js';
import { cannotOpen, whileAsking } from './asking.js';
import { fetchPack, packNow } from './packs.js';
import { html, patch } from './markup.js';
import { RollCall } from './roll-call-state.js';
import * as frame from './roll-call-frame.js';
import * as count from './roll-call-count.js';
import * as light from './roll-call-light.js';
import * as tiles from './roll-call-tiles.js';
import * as read from './roll-call-read.js';
import * as colours from './roll-call-colours.js';
import * as photo from './roll-call-photo.js';
import { hearPhotos } from './photo-view.js';
import * as rail from './roll-call-rail.js';
import * as concern from './roll-call-concern.js';
import * as close from './roll-call-close.js';
import * as secondLook from './roll-call-second-look.js';
import * as notDone from './roll-call-not-done.js';
import * as set from './roll-call-set.js';
import * as ticks from './roll-call-ticks.js';
import * as over from './roll-call-over.js';
import * as place from './roll-call-place.js';
import * as mend from './roll-call-mend.js';
import { changesIn } from '../shared/pack.js';
import { sound } from './sound.js';
import { fetchAhead, registerWorker } from './on-this-phone.js';
import { handOver, keptHolder } from './hand-over.js';

const ACTS = Object.assign(
  {},
  frame.acts,
  count.acts,
  tiles.acts,
  read.acts,
  colours.acts,
  photo.acts,
  rail.acts,
  concern.acts,
  close.acts,
  secondLook.acts,
  notDone.acts,
  light.acts,
  set.acts,
  ticks.acts,
  mend.acts,
  place.acts,
  over.acts,
);
/** @type {Record<string, (call: RollCall) => import('./markup.js').Markup>} */
const VIEWS = {
  count: count.view,
  tiles: tiles.view,
  read: read.view,
  colours: colours.view,
  photo: photo.view,
  rail: rail.view,
  concern: concern.view,
  close: close.view,
  'second-look': secondLook.view,
  'not-done': notDone.view,
  set: set.view,
  ticks: ticks.view,
  mend: mend.view,
  place: place.view,
  closed: over.view,
};
const SCROLLS = new Set([
  'photo',
  'concern',
  'close',
  'second-look',
  'not-done',
  'set',
  'ticks',
  'mend',
  'place',
  'closed',
]);
/** What can be done while the call is over. */
const BESIDE = new Set(['set', 'mend', 'ticks', 'closed']);
const REFRESH_S = 45;

const body = document.body, main = /** @type {HTMLElement} */ (document.getElementById('main'));
const top = /** @type {HTMLElement} */ (document.getElementById('call-badge'));
const title = /** @type {HTMLElement} */ (document.getElementById('call-title'));
const exhibit = Number(/\/exhibits\/(\d+)\//.exec(location.pathname)?.[1]);

/** The state that the address names; where the call is over, what it came to; without either the count while nothing
 * was counted, then the tiles. @param {RollCall} call */
function stateOf(call) {
  const named = location.hash.slice(1);
  if (call.over && !BESIDE.has(named)) return 'closed';
  if (VIEWS[named]) return named;
  return call.state.counts.has(call.lookalike) || call.state.sightings.length ? 'tiles' : 'count';
}

/** @param {RollCall} call @param {Sending} sending */
function draw(call, sending) {
  const at = stateOf(call);
  body.dataset.at = at;
  if (at !== 'place') call.desk.cameFrom = at;
  const part = at === 'read' || at === 'colours';
  patch(
    main,
    html`${frame.above(call, at)}${
      call.trouble && html`
    <p class="missing trouble" role="alert" data-k="trouble">${call.trouble}</p>`
    }${
      call.notice && html`
    <p class="note notice" role="status" data-k="notice">${call.notice}</p>`
    }
    <section class="fill${SCROLLS.has(at) ? ' scroll' : ''}" data-k="at-${at}">${VIEWS[at](call)}</section>
    ${frame.below(call, at)}${part && read.partRow(call, { byColour: at === 'read' })}${frame.ways(at)}`,
  );
  patch(top, frame.badge(call, sending));
  patch(title, place.title(call, at));
  document.title = `Roll call: ${call.pack.exhibit.name}`;
}

/** @param {unknown} error @returns {string} */
const inOneSentence = (error) => (error instanceof Error ? error.message : String(error));

/** @param {RollCall} call @param {Sending} sending */
function listen(call, sending) {
  const show = () => draw(call, sending);
  let turn = Promise.resolve();
  // One act at a time, in the order of the taps: the next one sees what the one before has kept.
  const act = (/** @type {() => unknown} */ what) => {
    turn = turn.then(what).then(() => undefined, (error) => {
      call.trouble = inOneSentence(error);
      sound('refused');
    }).then(show);
  };
  document.addEventListener('click', (event) => {
    const button = event.target instanceof Element
      ? /** @type {HTMLElement|null} */ (event.target.closest('[data-act]'))
      : null;
    if (!button || button.hasAttribute('disabled')) return;
    const name = button.dataset.act || '';
    act(() => {
      call.trouble = '';
      return name === 'set-fetch' ? refresh(call) : ACTS[name]?.(call, button);
    });
  });
  document.addEventListener(
    'site-chosen',
    (event) => act(() => colours.chooseSite(call, /** @type {CustomEvent} */ (event).detail.site)),
  );
  hearPhotos(() => ({ desk: call.photo, of: photo.photoOf(call) }), (what) =>
    act(() => {
      call.trouble = '';
      return what();
    }));
  call.photo.drawn = show;
  call.photo.failed = (error) =>
    act(() => {
      throw error;
    });
  document.addEventListener('change', (event) => {
    if (event.target instanceof HTMLSelectElement && event.target.id === 'who-looks') {
      const box = event.target, who = Number(box.value);
      act(async () => {
        if (await handOver(call.kept, call.pack.person, { id: who, name: call.personOf(who) })) call.inHandsOf(who);
        box.value = String(call.who);
      });
    }
  });
  document.addEventListener('keydown', (event) => {
    const input = event.target;
    if (event.key === 'Enter' && input instanceof HTMLInputElement && input.id === 'ticks-name')
      act(() => ticks.typed(call, input));
  });
  addEventListener('hashchange', () => {
    call.trouble = '';
    show();
    main.scrollTop = 0;
  });
  call.kept.watchers.add(() => {
    call.refresh();
    show();
  });
  // Asked beside the acts: a slow server holds no thumb up.
  const asked = () =>
    void fetchPack(call.kept.store, call.pack.exhibit.id).then((pack) => pack && act(() => call.takePack(pack)));
  setInterval(() => {
    if (!document.hidden) asked();
  }, REFRESH_S * 1000);
  addEventListener('online', asked);
  show();
  return act;
}

/** Ask for a newer pack: the flock as it is now, and what other phones told of this round. @param {RollCall} call */
async function refresh(call) {
  const pack = await fetchPack(call.kept.store, call.pack.exhibit.id);
  if (pack) call.takePack(pack);
}

async function begin() {
  const kept = await Kept.open();
  void navigator.storage?.persist?.();
  const { pack, before, later } = await whileAsking(main, 'this exhibit', packNow(kept.store, exhibit));
  if (!pack)
    throw new Error(
      'This exhibit is not on this phone yet, and the server has not answered. Try again in reach of the network.',
    );
  usePalette(pack.park.palette, pack.park.letters);
  const call = new RollCall(pack, kept, await keptPerson(kept, pack), await kept.store.packs());
  if (before) call.notice = changesIn(before, pack);
  const sending = new Sending(kept, () => draw(call, sending));
  const act = listen(call, sending);
  void later?.then((fresh) => fresh && act(() => call.takePack(fresh)));
  sending.soon(0);
  void registerWorker();
  fetchAhead(kept).catch(() => undefined); // no room for more packs: this one serves
}

/** Whose hands the phone is in: the last hand-over of the signed-in person's own session, or that person.
 * @param {Kept} kept @param {import('../shared/pack.js').Pack} pack */
async function keptPerson(kept, pack) {
  const who = await keptHolder(kept, pack.person.id);
  return pack.people.some(({ id }) => id === who) ? who : pack.person.id;
}

begin().catch((error) => cannotOpen(main, error));
