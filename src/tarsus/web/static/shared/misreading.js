// @ts-check
// How a reading comes about: the chance that one site's bands are read so. The twin of core/readings/misreading.py and
// stacks.py; docs/science/reading.md has the equations, tests/published/identification_cases.json the figures.

import { alikeOpenChance, completions, OPEN_END, openChance, steps } from './open-ends.js';

/** @typedef {import('./pack.js').Reader} Reader */

/** Stands in a stack for a band that may be any colour of the palette. */
export const ANY_COLOUR = 'any colour';
export const METAL = 'metal';
export const NOT_MADE_OUT = '?';

/**
 * @typedef {object} Misreading
 * @property {number} swap
 * @property {number} flip
 * @property {number} gone             chance that one band does not show: lost, or there and not noticed
 * @property {Map<string, number>} code   index of each word: metal first, then the palette
 * @property {Float64Array[]} shown    [read][worn]: there, noticed and read so; last row ?, last column any colour
 * @property {Float64Array} onAverage  how often each word is read of a band that is any word
 */

/**
 * One observer's errors, spelled out. The palette is the colours that have a row of confusions.
 * @param {Reader} reader @returns {Misreading}
 */
export function misreadingOf(reader) {
  const words = [METAL, ...Object.keys(reader.confusion).filter((word) => word !== METAL)];
  const code = new Map(words.map((word, at) => [word, at]));
  const gone = 1 - (1 - reader.lost) * (1 - reader.overlook);
  const rows = words.map((worn) => confusionRow(worn, code, reader.confusion[worn] ?? {}));
  const shown = words.map((_, read) => {
    const column = rows.map((row) => row[read]);
    const colours = column.slice(1);
    const any = colours.length ? colours.reduce((sum, chance) => sum + chance, 0) / colours.length : 0;
    return Float64Array.from([...column, any], (chance) => chance * (1 - gone));
  });
  shown.push(new Float64Array(words.length + 1).fill(1 - gone));
  const onAverage = Float64Array.from(words, (_, read) => rows.reduce((sum, row) => sum + row[read], 0) / words.length);
  return { swap: reader.swap, flip: reader.flip, gone, code, shown, onAverage };
}

/** @param {string} worn @param {Map<string, number>} code @param {Record<string, number>} row
 * @returns {Float64Array} */
function confusionRow(worn, code, row) {
  const chances = new Float64Array(code.size);
  let wrong = 0;
  for (const [read, chance] of Object.entries(row)) {
    if (read === worn) continue;
    chances[codeOf(code, read)] = chance;
    wrong += chance;
  }
  chances[codeOf(code, worn)] = 1 - wrong;
  return chances;
}

/** @param {Map<string, number>} code @param {string} word @returns {number} */
function codeOf(code, word) {
  const at = code.get(word);
  if (at === undefined) throw new RangeError(`'${word}' is no colour of the palette`);
  return at;
}

/** Words of a stack as the columns of `shown`. @param {Misreading} misreading @param {string[]} bands
 * @returns {number[]} */
export const wornCodes = ({ code }, bands) =>
  bands.map((band) => (band === ANY_COLOUR ? code.size : codeOf(code, band)));

/** Words of what was read as the rows of `shown`, -1 for an open end. @param {Misreading} misreading
 * @param {string[]} bands @returns {number[]} */
export const readCodes = ({ code }, bands) =>
  bands.map((band) => (band === OPEN_END ? -1 : band === NOT_MADE_OUT ? code.size : codeOf(code, band)));

/** The orders in which the bands that were read may really stand, each with its chance.
 * @param {number[]} read @param {number} flip @returns {{order: number[], share: number}[]} */
function orders(read, flip) {
  const pairs = read.length - 1;
  if (pairs < 1 || flip === 0) return [{ order: read, share: 1 }];
  const turned = Array.from({ length: pairs }, (_, at) => {
    const order = [...read];
    [order[at], order[at + 1]] = [order[at + 1], order[at]];
    return { order, share: flip / pairs };
  });
  return [{ order: read, share: 1 - flip }, ...turned];
}

/**
 * The chance that each stack is read so.
 * @param {Misreading} misreading @param {string[]} read @param {number[][]} stacks  worn words by stack
 * @returns {Float64Array}
 */
export function stackChances(misreading, read, stacks) {
  const codes = readCodes(misreading, read);
  if (read.includes(OPEN_END)) {
    const allowed = completions(codes, misreading.code.size), step = steps(allowed, misreading.shown.slice(0, -1));
    return Float64Array.from(stacks, (worn) => openChance(allowed, step, worn, misreading.gone, misreading.flip));
  }
  const ways = orders(codes, misreading.flip), chances = new Float64Array(read.length + 1);
  return Float64Array.from(stacks, (worn) => {
    if (read.length > worn.length) return 0;
    let chance = 0;
    for (const { order, share } of ways) chance += share * inOrder(misreading, order, worn, chances);
    return chance;
  });
}

/** Chance of a reading where nothing is turned over; which bands are gone is summed out.
 * @param {Misreading} misreading @param {number[]} read @param {number[]} worn
 * @param {Float64Array} chances  room for the work: one for all stacks, since there are many @returns {number} */
function inOrder({ gone, shown }, read, worn, chances) {
  if (read.length === worn.length) {
    // Every band shows, each as the one in its place: with many colourings of one photograph this is nearly always so.
    let chance = 1;
    for (let at = 0; at < read.length && chance > 0; at += 1) chance *= shown[read[at]][worn[at]];
    return chance;
  }
  // chances[j]: the bands so far gave the first j of the reading.
  chances.fill(0);
  chances[0] = 1;
  for (const band of worn) {
    for (let at = read.length; at > 0; at -= 1) {
      chances[at] = chances[at] * gone + chances[at - 1] * shown[read[at - 1]][band];
    }
    chances[0] *= gone;
  }
  return chances[read.length];
}

/** The same for a stranger that is banded in a way nobody here knows. @param {Misreading} misreading
 * @param {string[]} read */
export function otherwiseSiteChance(misreading, read) {
  const another = (1 - misreading.gone) / (2 - misreading.gone);
  const codes = readCodes(misreading, read);
  if (read.includes(OPEN_END)) {
    const allowed = completions(codes, misreading.code.size);
    return alikeOpenChance(allowed, steps(allowed, Array.from(misreading.onAverage, (chance) => [chance]))[0], another);
  }
  let chance = 1 - another;
  for (const at of codes) {
    chance *= another * (at === misreading.code.size ? 1 : misreading.onAverage[at]);
  }
  return chance;
}
