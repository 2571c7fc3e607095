// @ts-check
// What stands at each site of a drawing, and the opening tag that makes a site a button.

import { stackRead } from './band-words.js';
import { escaped } from './band-parts.js';

/** @typedef {import('./palette.js').Palette} Palette */
/** @typedef {import('./band-parts.js').Worn} Worn */
/**
 * @typedef {object} Drawing what `draw` is asked for, with every choice made
 * @property {import('./band-words.js').SiteBands} marks bands by site, the bird's own sides
 * @property {Record<string, string[]>} flags parallel to marks
 * @property {import('./band-words.js').Form} form
 * @property {import('./band-words.js').Facing} facing
 * @property {'close' | 'figure'} at  close: cut to the banded part, its letters 13 px or more
 * @property {boolean} reading a site that is missing was not seen, rather than bare
 * @property {string} active the site that the next tap goes to
 * @property {string} look the site whose sight would settle most
 * @property {{x: number, y: number}[]} pins natural marks, in per cent of the figure's width and height
 * @property {string} name
 * @property {boolean} quiet no words in the drawing
 * @property {boolean} input every site is a button
 * @property {Palette} palette
 */
/** @typedef {'left' | 'right'} Side */
/** @type {Side[]} */
export const SIDES = ['left', 'right'];

/**
 * The bands drawn at a site: `null` not seen, `[]` bare.
 * @param {Drawing} o
 * @param {string} site
 * @returns {Worn[] | null}
 */
export function bandsAt(o, site) {
  const bands = site in o.marks ? o.marks[site] : o.reading ? null : [];
  return bands && bands.map((name, i) => ({ band: name, flags: o.flags[site]?.[i] ?? '' }));
}

/**
 * A tarsus below a banded tibia is only drawn, without a mark, when nothing is said of it: `undefined`;
 * dashed when its tibia was not seen either.
 * @param {Drawing} o
 * @param {Side} side
 * @returns {Worn[] | null | undefined}
 */
export function tarsusOf(o, side) {
  if (o.form !== 'tall' || `${side} leg` in o.marks) return bandsAt(o, `${side} leg`);
  return bandsAt(o, `${side} tibia`) === null ? null : undefined;
}

/**
 * Whether tibia and tarsus share the room of a leg.
 * @param {Drawing} o
 */
export const bothUsed = (o) => o.form === 'tall' && SIDES.some((side) => `${side} leg` in o.marks);

/**
 * @param {Drawing} o
 * @param {string} site
 */
export function openSite(o, site) {
  const bands = bandsAt(o, site);
  const shown = bands === null
    ? 'not seen'
    : stackRead(bands.map((worn) => worn.band), bands.map((worn) => worn.flags)) || 'bare';
  const [side, part] = site.split(' ');
  const where = part === 'tibia' ? `${side} leg above the joint` : site;
  const button = ` role="button" tabindex="0" aria-pressed="${o.active === site}" aria-label="${
    escaped(`${where}: ${shown}`)
  }"`;
  return `<g class="site${o.active === site ? ' is-active' : ''}" data-site="${site}"${o.input ? button : ''}>`;
}
