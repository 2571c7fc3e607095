// @ts-check
// Whole-leg keys: every stack that a flock wears on one side, in an order that never changes. Bare and metal alone
// first, then by the upper colour, colours that are taken for each other side by side.

import { sideGoes, toldBands } from './open-leg.js';
import { bandsOf, other, sideSeen, stackKey, stackMarks } from './sides.js';

/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {import('./pack.js').Reading} Reading */
/** @typedef {import('./sides.js').Side} Side */
/** @typedef {import('./pack.js').Marks} Marks */
/** @typedef {{key: string, side: Side, bands: string[], worn: Marks, birds: number[]}} LegKey   worn: what it shows, by
 * site */
/** @typedef {{parts: string[], left: LegKey[], right: LegKey[]}} LegKeys */

/**
 * The colours in a row in which look-alikes stand side by side: a chain through the confusions, mended by turning
 * pieces over while that helps. Depends on the reader's table and the palette's order alone.
 * @param {string[]} colours @param {Record<string, Record<string, number>>} confusion @returns {string[]}
 */
export function hueOrder(colours, confusion) {
  const alike = (/** @type {string} */ a, /** @type {string} */ b) =>
    Math.log((confusion[a]?.[b] || 0) + (confusion[b]?.[a] || 0) + 1e-9);
  const row = colours.slice(0, 1), left = colours.slice(1);
  while (left.length) {
    const end = row[row.length - 1];
    const next = left.reduce((best, colour) => (alike(end, colour) > alike(end, best) + 1e-12 ? colour : best));
    row.push(...left.splice(left.indexOf(next), 1));
  }
  for (let turned = true, rounds = 0; turned && rounds < 50; rounds += 1) turned = turnOver(row, alike);
  return row;
}

/** Turn over the first piece of the row that gains by it. @param {string[]} row
 * @param {(a: string, b: string) => number} alike @returns {boolean} whether one was found */
function turnOver(row, alike) {
  for (let i = 1; i < row.length - 1; i += 1) {
    for (let j = i + 1; j < row.length; j += 1) {
      const last = j + 1 === row.length;
      const now = alike(row[i - 1], row[i]) + (last ? 0 : alike(row[j], row[j + 1]));
      const then = alike(row[i - 1], row[j]) + (last ? 0 : alike(row[i], row[j + 1]));
      if (then > now + 1e-9) {
        row.splice(i, j - i + 1, ...row.slice(i, j + 1).reverse());
        return true;
      }
    }
  }
  return false;
}

/** A stack as a list of ranks that sorts: bare, then metal, then the colours in their row.
 * @param {string[]} bands @param {string[]} hues @returns {number[]} */
function ranks(bands, hues) {
  return bands.map((band) => (band === 'metal' ? 0 : 1 + hues.indexOf(band)));
}

/** @param {number[]} a @param {number[]} b @returns {number} */
function inOrder(a, b) {
  for (let i = 0; i < Math.min(a.length, b.length); i += 1) if (a[i] !== b[i]) return a[i] - b[i];
  return a.length - b.length;
}

/**
 * The keys of both sides of a flock. Who is seen plays no part: the order is one that a thumb can learn.
 * @param {Bird[]} birds @param {string[]} parts  of `partsOf`
 * @param {string[]} hues  of `hueOrder` @returns {LegKeys}
 */
export function legKeys(birds, parts, hues) {
  const of = (/** @type {Side} */ side) => {
    /** @type {Map<string, LegKey>} */
    const worn = new Map();
    for (const bird of birds) {
      const key = stackKey(bird.marks, side, parts);
      const known = worn.get(key);
      if (known) known.birds.push(bird.id);
      else worn.set(key, { key, side, bands: bandsOf(key), worn: stackMarks(key, side), birds: [bird.id] });
    }
    return [...worn.values()].sort((a, b) =>
      inOrder(ranks(a.bands, hues), ranks(b.bands, hues))
      || (a.key < b.key ? -1 : 1)
    );
  };
  return { parts, left: of('left'), right: of('right') };
}

/** The key that shows what was told of one side, or null where no key does.
 * @param {LegKeys} keys @param {Side} side @param {Reading} reading @returns {string|null} */
export function pressedKey(keys, side, reading) {
  const told = keys.parts.map((part) => ({ part, bands: reading[`${side} ${part}`] }));
  const read = told.filter(({ bands }) => bands);
  if (!read.length || (read.length < told.length && !read.some(({ bands }) => toldBands(bands).length))) return null;
  const key = told.map(({ part, bands }) => `${part}=${toldBands(bands).join(',')}`).join(';');
  return keys[side].some((one) => one.key === key) ? key : null;
}

/**
 * The keys that go with what was read on the other side; the rest fade where they stand and can still be tapped.
 * All go together while the other side was not read, or was read as nobody here wears it.
 * @param {LegKeys} keys @param {Side} side @param {Reading} reading @returns {Set<string>}
 */
export function fittingKeys(keys, side, reading) {
  const across = other(side),
    worn = sideSeen(reading, across) ? keys[across].filter((one) => sideGoes(one.worn, reading, across)) : [];
  if (!worn.length) return new Set(keys[side].map((one) => one.key));
  const birds = new Set(worn.flatMap((one) => one.birds));
  return new Set(keys[side].filter((one) => one.birds.some((id) => birds.has(id))).map((one) => one.key));
}

/** Whether somebody here wears more on a side than was told of it, so that its end is worth telling.
 * @param {LegKeys} keys @param {Side} side @param {Reading} reading @returns {boolean} */
export function mayCarryMore(keys, side, reading) {
  const told = keys.parts.reduce((n, part) => n + toldBands(reading[`${side} ${part}`]).length, 0);
  return sideSeen(reading, side) &&
    keys[side].some((one) => one.bands.length > told && sideGoes(one.worn, reading, side));
}

/** Every band that a flock wears anywhere, in the row of hues, for the keys of colour by colour.
 * @param {Bird[]} birds @param {string[]} hues @returns {string[]} */
export function wornColours(birds, hues) {
  const worn = new Set(birds.flatMap((bird) => Object.values(bird.marks).flat()));
  return hues.filter((colour) => worn.has(colour));
}
