// @ts-check
// A leg that is being read is open: red is red and perhaps more below, until it holds as many bands as make it whole in
// this flock, or until somebody says that there is nothing more on it.

import { OPEN_END, goesWith } from './open-ends.js';
import { stackMarks } from './sides.js';

/** @typedef {import('./pack.js').Flock} Flock */
/** @typedef {import('./pack.js').Reading} Reading */
/** @typedef {import('./pack.js').Marks} Marks */
/** @typedef {import('./sides.js').Side} Side */
/** @typedef {Record<string, number>} Whole   site to how many bands make it whole; a site that takes none is not in it
 */

/** The most bands that a reading takes at one site. */
const MOST_BANDS = 4;

/** What makes a leg whole in any of these flocks. @param {Flock[]} flocks @returns {Whole} */
export function wholeOf(flocks) {
  /** @type {Whole} */
  const most = {};
  for (const { whole } of flocks) {
    for (const [site, number] of Object.entries(whole || {})) most[site] = Math.max(most[site] || 0, number);
  }
  return most;
}

/** A stack as far as it was seen: whole, or with an open end. @param {string[]} bands @param {number} whole
 * @returns {string[]} */
const asFar = (bands, whole) => (bands.length < whole ? [...bands, OPEN_END] : bands);

/** The bands of a stack that were told, without its open end. @param {string[]|null|undefined} read
 * @returns {string[]} */
export const toldBands = (read) => (read || []).filter((band) => band !== OPEN_END);

/** One band more at a site, below those that were told. A fifth begins the site anew.
 * @param {Reading} reading @param {string} site @param {string} band @param {Whole} whole @returns {Reading} */
export function withBand(reading, site, band, whole) {
  const had = toldBands(reading[site]), now = had.length >= MOST_BANDS ? [band] : [...had, band];
  return { ...reading, [site]: asFar(now, whole[site] ?? 0) };
}

/** The lowest band taken off again; the leg is open again where it may carry more.
 * @param {Reading} reading @param {string} site @param {Whole} whole @returns {Reading} */
export function withoutBand(reading, site, whole) {
  const { [site]: _, ...rest } = reading, left = toldBands(reading[site]).slice(0, -1);
  return left.length ? { ...rest, [site]: asFar(left, whole[site] ?? 0) } : rest;
}

/** Nothing more on this leg: what was told is all, and a site of it of which nothing was told is bare.
 * @param {Reading} reading @param {Side} side @param {string[]} sites  those that are looked at @returns {Reading} */
export function ended(reading, side, sites) {
  const own = sites.filter((site) => site.startsWith(side));
  return { ...reading, ...Object.fromEntries(own.map((site) => [site, toldBands(reading[site])])) };
}

/** Whether a leg of which something was told may carry more. @param {Reading} reading @param {Side} side
 * @param {string[]} sites
 * @returns {boolean} */
export function isOpen(reading, side, sites) {
  const own = sites.filter((site) => site.startsWith(side));
  return own.some((site) => reading[site]) && own.some((site) => !reading[site] || reading[site].includes(OPEN_END));
}

/** What a whole-leg key says: its bands, with an open end where a leg may carry more; bare only if the key is bare.
 * @param {string} key  of `stackKey` @param {Side} side @param {Whole} whole @returns {Reading} */
export function keyReading(key, side, whole) {
  const stacks = Object.entries(stackMarks(key, side)), bare = stacks.every(([, bands]) => !bands.length);
  // A part of the leg on which the key shows nothing is not yet seen bare, where it may carry bands at all.
  const seen = stacks.filter(([site, bands]) => bare || bands.length || !whole[site]);
  return Object.fromEntries(seen.map(([site, bands]) => [site, bands.length ? asFar(bands, whole[site] ?? 0) : []]));
}

/** Whether one side of a bird goes with what was read of it, nothing having gone wrong; a site not seen goes with all.
 * @param {Marks} marks @param {Reading} reading @param {Side} side
 * @param {Side} [worn]  the bird's side: the other one where they were mixed up
 * @returns {boolean} */
export function sideGoes(marks, reading, side, worn = side) {
  return Object.entries(reading).every(([site, read]) =>
    !Array.isArray(read) || !site.startsWith(side)
    || goesWith(read, marks[site.replace(side, worn)] || [])
  );
}
