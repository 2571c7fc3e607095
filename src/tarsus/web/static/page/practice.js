// @ts-check
// Learn the flock: a bird as through the glasses, named on roll call's own keys. Works without a connection.

import { usePalette } from './page-palette.js';
import { Kept } from './kept.js';
import { Sending } from './sending.js';
import { cannotOpen, whileAsking } from './asking.js';
import { packNow } from './packs.js';
import { html, patch } from './markup.js';
import { Practice } from './practice-state.js';
import * as looking from './practice-look.js';
import * as ready from './practice-ready.js';
import { choices } from './roll-call-pieces.js';
import { acts as readActs } from './roll-call-read.js';
import { registerWorker } from './on-this-phone.js';

/** @type {Record<string, (practice: Practice) => import('./markup.js').Markup>} */
const VIEWS = { look: looking.view, ready: ready.view };
const WAYS = [['look', 'Practise'], ['ready', 'How ready']];
/** @type {Record<string, (practice: Practice, button: HTMLElement) => unknown>} */
const ACTS = {
  ...looking.acts,
  ...ready.acts,
  'leg-key': /** @type {any} */ (readActs['leg-key']),
  species: (practice, button) => practice.turnTo(button.dataset.value || practice.lookalike),
};

const main = /** @type {HTMLElement} */ (document.getElementById('main'));
const title = /** @type {HTMLElement} */ (document.getElementById('practice-title'));
const exhibit = Number(/\/exhibits\/(\d+)\//.exec(location.pathname)?.[1]);

/** @param {Practice} practice */
function draw(practice) {
  const named = location.hash.slice(1),
    at = VIEWS[named] ? named : 'look',
    flocks = practice.pack.flocks.filter(({ form }) => form !== 'told');
  document.body.dataset.at = `practice-${at}`;
  title.textContent = `Learn ${practice.pack.exhibit.name}`;
  patch(
    main,
    html`${
      flocks.length > 1 &&
      choices({
        label: 'Species',
        act: 'species',
        kind: 'species',
        of: flocks.map(({ lookalike }) => ({ value: lookalike, words: lookalike })),
        chosen: practice.lookalike,
      })
    }${
      practice.trouble && html`
    <p class="missing trouble" role="alert" data-k="trouble">${practice.trouble}</p>`
    }
    <section class="fill${at === 'look' ? '' : ' scroll'}" data-k="at-${at}">${VIEWS[at](practice)}</section>
    <nav class="modes" aria-label="Practice" data-k="modes">
    ${
      WAYS.map(([state, words]) =>
        html`<a href="#${state}"
    data-k="${state}"${state === at ? html` aria-current="page"` : ''}><span>${words}</span></a>`
      )
    }</nav>`,
  );
  throughTheGlasses();
}

/** The glass in front of the eye: a style of the script, since the page allows none in its text. */
function throughTheGlasses() {
  for (const one of /** @type {NodeListOf<HTMLElement>} */ (main.querySelectorAll('[data-filter]')))
    one.style.filter = one.dataset.filter || '';
}

async function begin() {
  const kept = await Kept.open();
  const { pack } = await whileAsking(main, 'this exhibit', packNow(kept.store, exhibit));
  if (!pack)
    throw new Error(
      'This exhibit is not on this phone yet, and the server has not answered. Try again in reach of the network.',
    );
  usePalette(pack.park.palette, pack.park.letters);
  const practice = new Practice(pack, kept), sending = new Sending(kept, () => {});
  await practice.open();
  practice.drawn = () => draw(practice);
  let turn = Promise.resolve();
  document.addEventListener('click', (event) => {
    const button = event.target instanceof Element
      ? /** @type {HTMLElement|null} */ (event.target.closest('[data-act]'))
      : null;
    if (!button || button.hasAttribute('disabled')) return;
    turn = turn.then(() => {
      practice.trouble = '';
      return ACTS[button.dataset.act || '']?.(practice, button);
    }).then(() => undefined, (error) => {
      practice.trouble = error instanceof Error ? error.message : String(error);
    }).then(() => draw(practice));
  });
  addEventListener('hashchange', () => draw(practice));
  draw(practice);
  sending.soon(0);
  void registerWorker();
}

begin().catch((error) => cannotOpen(main, error));
