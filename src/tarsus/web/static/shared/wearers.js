// @ts-check
// Whose a loose band may be: every bird whose record has such a band, those it is likeliest to be missing from first.
// The twin of core/marks/loose_bands.py; tests/published/loose_band_cases.json.

import { numberFits } from './matching.js';

/** @typedef {import('./pack.js').Bird} Bird */

/** Signs on record that a band may have come off. */
const TELLING = ['lost', 'worn', 'faded', 'unreadable'];

/** What the last checks found of the bands of one colour on a bird. @param {Bird} bird @param {string} band @returns {boolean} */
function marked(bird, band) {
  return Object.entries(bird.marks).some(([site, bands]) => bands.some((one, i) => one === band
    && (bird.flags[site]?.[i] || '').split(' ').some((flag) => TELLING.includes(flag))));
}

/**
 * @template {{bird: Bird}} K
 * @param {K[]} known @param {string} band  a colour or metal
 * @param {string} number  what could be read on it, ? for a sign not read
 * @returns {(K & {marked: boolean})[]} those whose band was noted as lost or worn first, then those longest unseen
 */
export function wearers(known, band, number) {
  const wear = known.filter(({ bird }) => Object.values(bird.marks).some((bands) => bands.includes(band)))
    .filter(({ bird }) => !number || numberFits(bird.engraving, number));
  return wear.map((one) => ({ ...one, marked: marked(one.bird, band) }))
    .sort((a, b) => Number(b.marked) - Number(a.marked) || b.bird.unseen_days - a.bird.unseen_days || (a.bird.name < b.bird.name ? -1 : 1));
}
