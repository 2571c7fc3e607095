// @ts-check
// The page In hand: opens the hand pack this phone holds, draws the bird that the address names, keeps what is found.

import { handOver, keptHolder } from './hand-over.js';
import { usePalette } from './page-palette.js';
import { Kept } from './kept.js';
import { Sending } from './sending.js';
import { html, patch } from './markup.js';
import { held } from '../shared/in-hand.js';
import { cannotOpen, whileAsking } from './asking.js';
import { Hand, handPackNow } from './in-hand-state.js';
import { registerWorker } from './on-this-phone.js';
import { sound } from './sound.js';
import * as choose from './in-hand-choose.js';
import * as bands from './in-hand-bands.js';
import * as fit from './in-hand-fit.js';
import * as going from './in-hand-release.js';
import * as before from './in-hand-before.js';
import * as photo from './in-hand-photo.js';
import { hearPhotos } from './photo-view.js';
import { keptPacks } from './packs.js';
import { Who } from './who-state.js';
import { allAsToldHere } from '../shared/told-here.js';

const ACTS = { ...choose.acts, ...bands.acts, ...fit.acts, ...going.acts, ...before.acts, ...photo.acts };
/** @type {Record<string, 'number'|'weight'|'label'|'note'>} */
const FIELDS = { 'hand-number': 'number', 'hand-weight': 'weight', 'hand-label': 'label', 'hand-note': 'note' };
const main = /** @type {HTMLElement} */ (document.getElementById('main'));
const badge = /** @type {HTMLElement} */ (document.getElementById('call-badge'));
const name = /** @type {HTMLElement} */ (document.getElementById('hand-name'));

/** @param {Hand} hand */
function draw(hand) {
  const asked = /^#bird-(\d+)$/.exec(location.hash);
  if (asked && hand.find(Number(asked[1]))) hand.take(Number(asked[1]));
  const { bird } = hand, open = asked && bird;
  name.textContent = open ? `${bird.name} in hand` : 'In hand';
  patch(
    main,
    html`${
      hand.trouble && html`<p class="missing trouble" role="alert" data-k="trouble">${hand.trouble}</p>
    `
    }${hand.said && html`<p class="note notice" role="status" data-k="said">${hand.said}</p>`}${
      open
        ? html`<div data-k="hand-${bird.id}">
      ${who(hand)}${before.view(hand, bird)}${bands.record(hand, bird)}${bands.bands(hand, bird)}${
          fit.view(hand, bird)
        }${going.weight(hand, bird)}${going.beside(hand)}${going.going(hand, bird)}
      </div>`
        : location.hash === '#photo' ?
        html`<div class="hand-photo" data-k="by-photo">${photo.view(hand)}</div>` :
        html`
      <div data-k="choose">${choose.view(hand)}<p class="small" data-k="age">
      Records as of
      ${hand.pack.made_at.slice(0, 16).replace('T', ', ')}${hand.asking ? '; still asking the server' : ''}.</p></div>
      `
    }`,
  );
  tick(hand);
}

/** @param {Hand} hand */
function who(hand) {
  return html`<div class="who-hands" data-k="who">
    <label><span class="small">In the hands of</span> <select id="hand-who"
    class="btn">${
    hand.pack.people.map(({ id, name: of }) =>
      html`<option
    value="${id}"${id === hand.who ? html` selected` : ''}>${of}</option>`
    )
  }</select></label> <label><span
    class="small">Why</span> <select id="hand-why" class="btn">${
    hand.pack.words.why.map((word) =>
      html`<option
    value="${word}"${word === hand.found.why ? html` selected` : ''}>${word}</option>`
    )
  }</select></label></div>`;
}

/** @param {Hand} hand */
function tick(hand) {
  const { kept } = hand.kept.here(),
    waits = kept ?
      html`<span class="badge"><span class="num">${kept}</span> kept<span
    class="long"> on this phone</span></span>` :
      html``;
  if (!hand.bird || !location.hash) {
    patch(badge, waits);
    return;
  }
  const { clock, over } = held(hand.found.startedAt, new Date(), hand.pack.minutes);
  patch(
    badge,
    html`<span class="badge timer num${over ? ' is-over' : ''}">${clock} of ${hand.pack.minutes}
    min${over ? ': let it go' : ''}</span>`,
  );
}

/** @param {Hand} hand */
function listen(hand) {
  let turn = Promise.resolve();
  const act = (/** @type {() => unknown} */ what) => {
    turn = turn.then(what).then(() => hand.remember()).catch((error) => {
      hand.trouble = error instanceof Error ? error.message : String(error);
      sound('refused');
    }).then(() => draw(hand));
  };
  document.addEventListener('click', (event) => {
    const button = event.target instanceof Element
      ? /** @type {HTMLElement|null} */ (event.target.closest('[data-act]'))
      : null;
    if (!button || button.hasAttribute('disabled')) return;
    act(() => {
      hand.trouble = '';
      hand.said = '';
      return ACTS[button.dataset.act || '']?.(hand, button);
    });
  });
  const { finder } = hand;
  if (finder) {
    hearPhotos(() => ({ desk: finder.photo, of: finder.photoOf() }), (what) =>
      act(() => {
        hand.trouble = '';
        return what();
      }));
    finder.photo.drawn = () => draw(hand);
    finder.photo.failed = (error) =>
      act(() => {
        throw error;
      });
  }
  document.addEventListener(
    'site-chosen',
    (event) => act(() => before.chooseSite(hand, /** @type {CustomEvent} */ (event).detail.site)),
  );
  document.addEventListener('input', (event) => {
    const box = event.target;
    if (!(box instanceof HTMLInputElement || box instanceof HTMLTextAreaElement)) return;
    if (box.id === 'hand-typed') {
      hand.typed = box.value;
      draw(hand);
    }
    if (box.id === 'miss-why' && hand.miss) hand.miss.because = box.value;
    const field = FIELDS[box.id];
    if (field)
      act(() => {
        hand.found[field] = box.value;
      });
    if (box.dataset.fit) act(() => fit.read(hand, box.dataset.fit || '', box.value));
  });
  document.addEventListener('change', (event) => {
    const box = event.target;
    if (!(box instanceof HTMLSelectElement)) return;
    if (box.id === 'hand-who')
      act(async () => {
        const who = Number(box.value), taker = hand.pack.people.find(({ id }) => id === who);
        if (taker && await handOver(hand.kept, hand.pack.person, taker)) hand.who = who;
        box.value = String(hand.who);
      });
    else if (box.id === 'hand-why')
      act(() => {
        hand.found.why = box.value;
      });
    else if (box.dataset.change) act(() => ACTS[box.dataset.change || '']?.(hand, box));
  });
  addEventListener('hashchange', () => {
    hand.trouble = '';
    draw(hand);
  });
  hand.kept.watchers.add(() => (location.hash ? tick(hand) : draw(hand)));
  setInterval(() => tick(hand), 1000);
  draw(hand);
}

async function begin() {
  void registerWorker();
  const kept = await Kept.open(),
    { pack, later } = await whileAsking(main, 'the records of the birds', handPackNow(kept.store));
  if (!pack)
    throw new Error(
      'The records for In hand are not on this phone yet, and the server has not answered. '
        + 'Try again in reach of the network.',
    );
  usePalette(pack.park.palette, pack.park.letters);
  const hand = new Hand(pack, kept, await keptHolder(kept, pack.person.id));
  await hand.goOn();
  const packs = allAsToldHere(await keptPacks(kept.store), kept.list());
  if (packs.length) hand.finder = new Who(packs, kept, hand.who);
  listen(hand);
  new Sending(kept, () => tick(hand)).soon(0);
  hand.asking = later !== null;
  draw(hand);
  const fresh = await later;
  hand.asking = false;
  if (fresh) hand.pack = hand.afterOwn(fresh);
  draw(hand);
}

begin().catch((error) => cannotOpen(main, error));
