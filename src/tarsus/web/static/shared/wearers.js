// @ts-check
// Whose a loose band may be: every bird whose record has such a band, those it is likeliest to be missing from first.
// The twin of core/marks/loose_bands.py; tests/published/loose_band_cases.json.

import { numberFits } from './matching.js';
import { METAL } from './palette.js';

/** @typedef {import('./pack.js').Bird} Bird */

/** Signs on record that a band may have come off. */
const TELLING = ['lost', 'worn', 'faded', 'unreadable'];

/** The bands of one colour on a bird whose number can be the one that was read, as what their last checks found.
 * A pack of an earlier day tells the metal's number alone.
 * @param {Bird} bird @param {string} band @param {string} number @returns {string[]} */
function alike(bird, band, number) {
  const told = (
    /** @type {string} */ site,
    /** @type {number} */ i,
  ) => (bird.numbers ? bird.numbers[site]?.[i] || '' : band === METAL ? bird.engraving : '');
  return Object.entries(bird.marks).flatMap(([site, bands]) =>
    bands
      .flatMap((
        one,
        i,
      ) => (one === band && (!number || numberFits(told(site, i), number)) ? [bird.flags[site]?.[i] || ''] : []))
  );
}

/**
 * @template {{bird: Bird}} K
 * @param {K[]} known @param {string} band  a colour or metal
 * @param {string} number  what could be read on it, ? for a sign not read
 * @returns {(K & {marked: boolean})[]} those whose band was noted as lost or worn first, then those longest unseen
 */
export function wearers(known, band, number) {
  return known.map((one) => ({ one, worn: alike(one.bird, band, number) })).filter(({ worn }) => worn.length)
    .map(({ one, worn }) => ({
      ...one,
      marked: worn.some((flags) => flags.split(' ').some((flag) => TELLING.includes(flag))),
    }))
    .sort((a, b) =>
      Number(b.marked) - Number(a.marked) || b.bird.unseen_days - a.bird.unseen_days ||
      (a.bird.name < b.bird.name ? -1 : 1)
    );
}
