// @ts-check
// In hand: what was read through glasses before the catch. With the bands in the hand it becomes a confirmed reading,
// from which the park learns how its readers err.

import { wornColours } from '../shared/legkeys.js';
import { anySeen, limbOf, sitesOf } from '../shared/sides.js';
import { html } from './markup.js';
import { keysView, onSite, readingActs, sureRow } from './reading-keys.js';
import { readingFigure } from './roll-call-figure.js';

/** @typedef {import('./in-hand-state.js').Hand} Hand */
/** @typedef {import('../shared/in-hand.js').Bird} Bird */

/** @param {Hand} hand @param {Bird} bird @returns {import('./reading-keys.js').Looked} */
function looked({ pack }, { form, lookalike }) {
  const alike = /** @type {any[]} */ (pack.birds.filter((bird) => bird.lookalike === lookalike));
  return {
    sites: sitesOf(form),
    whole: pack.whole?.[lookalike] || {},
    limb: limbOf(/** @type {any} */ (form)),
    colours: wornColours(alike, Object.keys(pack.park.palette)),
  };
}

/** @param {Hand} hand @param {Bird} bird */
export function view(hand, bird) {
  if (bird.form === 'told') return '';
  const desk = hand.found.before, at = looked(hand, bird), read = anySeen(desk.reading);
  return html`<details class="before" data-k="before"${read ? html` open` : ''}><summary>Read before the catch</summary>
    <p class="small">Only what somebody read through glasses, as it was read, right or wrong.</p>
<div class="stage" data-k="stage">
  ${
    readingFigure({ form: bird.form, reading: desk.reading, facing: '', active: onSite(desk, at.sites), look: '' })
  }<button
  class="btn clear" type="button" data-act="before-clear">Not read</button></div>
${keysView(desk, at)}${sureRow(desk)}</details>`;
}

/** @type {Record<string, (hand: Hand, target: HTMLElement) => unknown>} */
export const acts = {
  ...readingActs((/** @type {Hand} */ hand) => ({
    desk: hand.found.before,
    looked: looked(hand, /** @type {Bird} */ (hand.bird)),
  })),
  'before-clear': (hand) => {
    hand.found.before = { reading: {}, on: '' };
  },
};

/** A site of the figure was chosen. @param {Hand} hand @param {string} site */
export function chooseSite(hand, site) {
  if (hand.bird && looked(hand, hand.bird).sites.includes(site)) hand.found.before.on = site;
}
