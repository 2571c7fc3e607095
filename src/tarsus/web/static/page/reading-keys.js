// @ts-check
// Colour by colour, the same on every page that takes a reading: the figure with each site a button, the keys, and how
// a leg ends. A leg is open until it is whole, or until *nothing more on this leg*.

import { ended, isOpen, toldBands, withBand, withoutBand } from '../shared/open-leg.js';
import { bothAges, PLUMAGES } from '../shared/plumage.js';
import { anySeen, NOT_SURE, SIDES, thinkWords, THINK_SO, withPlumage, withSwap } from '../shared/sides.js';
import { chip } from '../shared/band-drawing.js';
import { pagePalette } from './page-palette.js';
import { drawn, html } from './markup.js';

/** @typedef {import('../shared/pack.js').Reading} Reading */
/** @typedef {import('../shared/sides.js').Side} Side */
/** @typedef {{reading: Reading, on: string}} Desk   what was read, and the site that the next colour goes to */
/** @typedef {object} Looked   what is looked at
 * @property {string[]} sites
 * @property {import('../shared/open-leg.js').Whole} whole
 * @property {'leg'|'wing'} limb
 * @property {string[]} colours  those worn there, look-alikes side by side */

/** The site that the next colour goes to: the chosen one, or of those that nothing was said of the last.
 * @param {Desk} desk @param {string[]} sites @returns {string} */
export function onSite(desk, sites) {
  if (sites.includes(desk.on)) return desk.on;
  return [...sites].reverse().find((site) => !desk.reading[site]) || sites[0];
}

/** The keys with what stands around them. @param {Desk} desk @param {Looked} looked */
export function keysView(desk, looked) {
  const on = onSite(desk, looked.sites), n = toldBands(desk.reading[on]).length, side = sideOf(on);
  return html`<div class="keyhead" data-k="where"><p>
    <b>${siteWords(on, looked)}</b>, ${n ? 'next band down' : 'top band'}</p>
    <button type="button" class="btn text" data-k="off"
    data-act="band-off"${desk.reading[on] ? '' : drawn(' disabled')}>remove last band</button></div>
<div class="keys" data-k="keys">${[...looked.colours, 'metal', '?'].map(bandKey)}</div>
<div class="partrow ends" data-k="ends">
  <button class="btn" type="button" data-k="bare" data-act="band-bare">no bands on this ${looked.limb}</button><button
  class="btn" type="button" data-k="end"
  data-act="band-end"${isOpen(desk.reading, side, looked.sites) ? '' : drawn(' disabled')}>nothing more on this
  ${looked.limb}</button></div>`;
}

/** How sure the sides are: *I think left*, *left or right unclear*; off again with the next bird. @param {Desk} desk */
export function sureRow({ reading }) {
  const button = (/** @type {number} */ swap, /** @type {string} */ words) =>
    html`<button type="button"
    data-k="swap${swap}" data-act="sides" data-value="${swap}"
    aria-pressed="${reading.swap === swap}"${anySeen(reading) ? '' : drawn(' disabled')}>${words}</button>`;
  return html`<div class="seg sure" role="group" aria-label="How sure left and right are" data-k="sure">
    ${button(THINK_SO, thinkWords(reading))}${button(NOT_SURE, 'left or right unclear')}</div>`;
}

/** *Young* or *grown* plumage, where birds of both may be meant; off again with the next bird. @param {Desk} desk
 * @param {{young?: number}[]} birds */
export function plumageRow({ reading }, birds) {
  if (!bothAges(birds)) return '';
  return html`<div class="lit" data-k="looked">
    <span class="small">Plumage</span><div class="seg light" role="group" aria-label="Plumage" data-k="plumage">
    ${
    PLUMAGES.map((plumage) =>
      html`<button type="button" data-k="plumage-${plumage}" data-act="plumage"
    data-value="${plumage}" aria-pressed="${reading.plumage === plumage}">${plumage}</button>`
    )
  }</div></div>`;
}

/** @param {string} site @returns {Side} */
const sideOf = (site) => (site.startsWith('left') ? 'left' : 'right');

/** @param {string} site @param {Looked} looked @returns {string} */
function siteWords(site, { sites, limb }) {
  const [side, part] = site.split(' ');
  if (limb === 'wing' || sites.length <= SIDES.length) return `${side} ${limb}`;
  return `${side} leg, ${part === 'tibia' ? 'above' : 'below'} the joint`;
}

/** @param {string} band */
export function bandKey(band) {
  const words = band === '?' ? 'not made out' : band;
  return html`<button class="key" type="button" data-k="band ${band}" data-act="band" data-band="${band}"><span
    class="key-face" aria-hidden="true">${drawn(chip(band, pagePalette()))}</span><span>${words}</span></button>`;
}

/** The acts of a page that takes a reading. @template P
 * @param {(page: P) => {desk: Desk, looked: Looked}} of
 * @returns {Record<string, (page: P, button: HTMLElement) => void>} */
export function readingActs(of) {
  /** @param {(reading: Reading, on: string, looked: Looked, button: HTMLElement) => Reading} how
   * @param {boolean} [leaves]  the leg is done with */
  const change = (how, leaves = false) => (/** @type {P} */ page, /** @type {HTMLElement} */ button) => {
    const { desk, looked } = of(page), on = onSite(desk, looked.sites);
    desk.reading = how(desk.reading, on, looked, button);
    desk.on = leaves ? '' : on;
  };
  return {
    band: change((reading, on, { whole }, button) => withBand(reading, on, button.dataset.band || '?', whole)),
    'band-off': change((reading, on, { whole }) => withoutBand(reading, on, whole)),
    'band-end': change((reading, on, { sites }) => ended(reading, sideOf(on), sites), true),
    'band-bare': change((reading, on, { sites }) => {
      const bare = sites.filter((site) => site.startsWith(sideOf(on))).map((site) => [site, []]);
      return { ...reading, ...Object.fromEntries(bare) };
    }, true),
    'leg-end': change((reading, _, { sites }, button) =>
      ended(reading, /** @type {Side} */ (button.dataset.side), sites)
    ),
    plumage: change((reading, _on, _looked, button) => withPlumage(reading, button.dataset.value || '')),
    sides: change((reading, _on, _looked, button) => withSwap(reading, Number(button.dataset.value))),
  };
}

/** A tile that ends an open leg, for each on which somebody may wear more. @param {Side[]} sides
 * @param {'leg'|'wing'} limb */
export const endTiles = (sides, limb) =>
  sides.map((side) =>
    html`<button type="button" class="tile tile-part"
  data-k="end-${side}" data-act="leg-end" data-side="${side}"><span class="tile-n">no more</span><span
  class="small">on its ${side} ${limb}</span></button>`
  );
