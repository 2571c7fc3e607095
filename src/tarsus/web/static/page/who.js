// @ts-check
// The page Who is it?: opens the packs this phone holds, draws what the address names, keeps what was found out.

import { keptHolder } from './hand-over.js';
import { usePalette } from './page-palette.js';
import { Kept } from './kept.js';
import { Sending } from './sending.js';
import { cannotOpen, whileAsking } from './asking.js';
import { fetchPacks, keptPacks, noPacks, notHere } from './packs.js';
import { html, patch } from './markup.js';
import { choices } from './roll-call-pieces.js';
import { Who } from './who-state.js';
import * as read from './who-read.js';
import * as bird from './who-bird.js';
import * as name from './who-name.js';
import * as band from './who-band.js';
import * as photo from './who-photo.js';
import * as pair from './who-pair.js';
import './pair-drawing-element.js';
import { hearPhotos } from './photo-view.js';
import { sound } from './sound.js';
import { allAsToldHere } from '../shared/told-here.js';
import { registerWorker } from './on-this-phone.js';

/** @type {Record<string, (who: Who, named: string) => import('./markup.js').Markup>} */
const VIEWS = {
  read: read.view,
  photo: photo.view,
  bird: bird.view,
  name: name.view,
  band: band.view,
  pair: pair.view,
};
/** Where one thing is shown, and nothing is asked. */
const SHOWS = ['bird', 'pair'];
const ACTS = Object.assign({}, read.acts, bird.acts, band.acts, photo.acts, {
  exhibit: (/** @type {Who} */ who, /** @type {HTMLElement} */ button) => {
    who.exhibit = button.dataset.value ? Number(button.dataset.value) : null;
    who.place = null;
    const forms = who.forms();
    if (!forms.includes(who.form)) who.choose(forms[0] || 'legs');
  },
  place: (/** @type {Who} */ who, /** @type {HTMLElement} */ button) => {
    who.place = button.dataset.value ? Number(button.dataset.value) : null;
  },
});
const WAYS = [['read', 'Reading'], ['photo', 'Photograph'], ['name', 'Number, name'], ['band', 'Found band']];

const main = /** @type {HTMLElement} */ (document.getElementById('main'));
const badge = /** @type {HTMLElement} */ (document.getElementById('call-badge'));

/** @param {Who} who */
function draw(who) {
  const named = location.hash.slice(1),
    state = named.split('-')[0],
    at = VIEWS[state] ? state : 'read',
    asks = !SHOWS.includes(at),
    { kept } = who.kept.here();
  document.body.dataset.at = `who-${at}`;
  const exhibits = [
    { value: '', words: 'any' },
    ...who.packs.filter((pack) => pack.flocks.length).map(({ exhibit }) => ({
      value: String(exhibit.id),
      words: exhibit.name,
    })),
  ];
  patch(
    main,
    html`${
      asks &&
      choices({
        label: 'Exhibit',
        act: 'exhibit',
        kind: 'places-row exhibits-row',
        of: exhibits,
        chosen: who.exhibit === null ? '' : String(who.exhibit),
      })
    }${
      (at === 'read' || at === 'photo') && who.places().length > 1 &&
      choices({
        label: 'Place',
        act: 'place',
        kind: 'places-row exhibits-row',
        of: [
          { value: '', words: 'anywhere' },
          ...who.places().map(({ id, name }) => ({ value: String(id), words: name })),
        ],
        chosen: who.place === null ? '' : String(who.place),
      })
    }${
      asks && who.exhibit === null && who.lacking.length > 0 && html`
    <p class="note" role="status" data-k="lacking">Not on this phone, so not asked: ${who.lacking.join(', ')}.</p>
    `
    }${
      who.trouble && html`<p class="missing trouble" role="alert" data-k="trouble">${who.trouble}</p>
    `
    }${who.said && html`<p class="note notice" role="status" data-k="said">${who.said}</p>`}
    <section class="fill${at === 'read' ? '' : ' scroll'}" data-k="at-${at}">${VIEWS[at](who, named)}</section>
    ${
      asks && html`<nav class="modes" aria-label="Ways to ask" data-k="modes">
    ${
        WAYS.map(([state, words]) =>
          html`<a href="#${state}"
    data-k="${state}"${state === at ? html` aria-current="page"` : ''}><span>${words}</span></a>`
        )
      }</nav>`
    }`,
  );
  patch(
    badge,
    kept ?
      html`<span class="badge"><span class="num">${kept}</span> kept<span
    class="long"> on this phone</span></span>` :
      html`<span class="badge is-sent">all sent</span>`,
  );
}

/** @param {Who} who */
function listen(who) {
  let turn = Promise.resolve();
  const act = (/** @type {() => unknown} */ what) => {
    turn = turn.then(what).then(() => undefined, (error) => {
      who.trouble = error instanceof Error ? error.message : String(error);
      sound('refused');
    }).then(() => draw(who));
  };
  document.addEventListener('click', (event) => {
    const button = event.target instanceof Element
      ? /** @type {HTMLElement|null} */ (event.target.closest('[data-act]'))
      : null;
    if (!button || button.hasAttribute('disabled')) return;
    act(() => {
      who.trouble = '';
      who.said = '';
      return ACTS[button.dataset.act || '']?.(who, button);
    });
  });
  document.addEventListener('site-chosen', (event) =>
    act(() => {
      const { site } = /** @type {CustomEvent} */ (event).detail;
      if (!who.sites.includes(site)) return;
      who.on = site;
      who.legTold = true;
    }));
  hearPhotos(() => ({ desk: who.photo, of: who.photoOf() }), (what) =>
    act(() => {
      who.trouble = '';
      who.said = '';
      return what();
    }));
  who.photo.drawn = () => draw(who);
  who.photo.failed = (error) =>
    act(() => {
      throw error;
    });
  document.addEventListener('input', (event) => {
    if (event.target instanceof HTMLInputElement && event.target.id === 'who-typed') {
      who.typed = event.target.value;
      draw(who);
    }
  });
  addEventListener('hashchange', () => {
    who.trouble = '';
    if (!['#read', '#photo'].includes(location.hash)) who.said = '';
    draw(who);
  });
  who.kept.watchers.add(() => draw(who));
  draw(who);
}

async function begin() {
  const kept = await Kept.open();
  const known = await keptPacks(kept.store), fresh = fetchPacks(kept.store);
  const packs = known.length ? known : (await whileAsking(main, 'the birds of the exhibits', fresh)).packs;
  if (!packs.length) throw new Error(noPacks((await fresh).all));
  usePalette(packs[0].park.palette, packs[0].park.letters);
  const { person } = packs[0];
  const who = new Who(allAsToldHere(packs, kept.list()), kept, await keptHolder(kept, person.id));
  listen(who);
  new Sending(kept, () => draw(who)).soon(0);
  void registerWorker();
  who.lacking = await notHere(kept.store);
  draw(who);
  who.packs = allAsToldHere((await fresh).packs, kept.list());
  who.lacking = await notHere(kept.store);
  draw(who);
}

begin().catch((error) => cannotOpen(main, error));
