// @ts-check
// A bird as somebody sees it through glasses: what blurs at a distance, what the light takes, which leg is hidden.

import { SIDES, sideSeen } from './sides.js';

/** @typedef {import('./pack.js').Marks} Marks */
/** @typedef {import('./lights.js').Light} Light */
/** @typedef {{facing: 'away'|'me'|'left'|'right', hidden: import('./sides.js').Side|'', grass: boolean, light: Light}}
 * Scene */

/** A usual eye tells a gap of one minute of arc (ISO 8596:2017: visual acuity 1.0). */
const MINUTE_OF_ARC = Math.PI / 180 / 60;
/** Usual glasses enlarge eight times; a band is taken for so many millimetres high, and drawn so many units. Common
 * practice. */
const ENLARGES = 8, BAND_MM = 7, BAND_UNITS = 26;
/** The width at half height of a normal curve, in its standard deviations. */
const FULL_WIDTH = 2 * Math.sqrt(2 * Math.log(2));
/** What is left of brightness and of colour; invented. @type {Record<Light, [number, number]>} */
const LEAVES = { bright: [1, 1], dull: [0.74, 0.85], dusk: [0.42, 0.5] };
const HIDDEN = 0.3, BEHIND_GRASS = 0.35;

/** The least detail that is seen at a distance, in millimetres. @param {number} metres @returns {number} */
export const detailMm = (metres) => (metres * 1000 * Math.tan(MINUTE_OF_ARC)) / ENLARGES;

/** How far a drawing is blurred, in its own units: the standard deviation of a normal curve as wide as the least
 * detail.
 * @param {number} metres @param {number} [units]  how high a band is drawn @returns {number} */
export const blurUnits = (metres, units = BAND_UNITS) => (detailMm(metres) / FULL_WIDTH / BAND_MM) * units;

/** @param {Light} light @returns {{brightness: number, colour: number}} */
export const lightLeaves = (light) => ({ brightness: LEAVES[light][0], colour: LEAVES[light][1] });

/** What of a bird is seen: a hidden leg is not seen bare. @param {Marks} marks @param {string[]} sites
 * @param {Scene['hidden']} hidden
 * @returns {import('./pack.js').Reading} */
export const shownOf = (marks, sites, hidden) =>
  Object.fromEntries(
    sites.filter((site) => !hidden || !site.startsWith(hidden)).map((site) => [site, marks[site] || []]),
  );

/**
 * How a bird stands. A leg is hidden only where the other one alone tells the bird from all others.
 * @param {Marks} marks @param {Marks[]} others @param {string[]} sites @param {Light[]} lights
 * @param {() => number} chance
 * @returns {Scene}
 */
export function sceneFor(marks, others, sites, lights, chance) {
  const key = (/** @type {Marks} */ of, /** @type {Scene['hidden']} */ hidden) =>
    JSON.stringify(shownOf(of, sites, hidden));
  const may = SIDES.filter((side) =>
    sideSeen(shownOf(marks, sites, side), side === 'left' ? 'right' : 'left') &&
    others.every((other) => key(other, side) !== key(marks, side))
  );
  const pick = (/** @type {readonly any[]} */ of) => of[Math.min(of.length - 1, Math.floor(chance() * of.length))];
  return {
    facing: pick(['away', 'me', 'left', 'right']),
    light: pick(lights),
    hidden: may.length && chance() < HIDDEN ? pick(may) : '',
    grass: chance() < BEHIND_GRASS,
  };
}
