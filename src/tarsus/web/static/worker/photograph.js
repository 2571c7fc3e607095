// @ts-check
// Beside the page: makes the tables of a palette once and weighs what was tapped, so that the page never waits.

import { photographed, readerOfPhotographs, tapped, whose } from '../shared/photograph.js';
import { looksOf } from '../shared/photograph-looks.js';
import { prepareFlock } from '../shared/reading.js';

/** @typedef {object} Asked   what the page asks
 * @property {Record<string, string>} palette
 * @property {Record<string, string>} faded
 * @property {number} mean
 * @property {import('../shared/photograph.js').Pixel[][]} bands
 * @property {import('../shared/photograph.js').Pixel[]|null} metal
 * @property {import('../shared/photograph.js').Layout} layout
 * @property {number} [swap]
 * @property {import('../shared/reading.js').Worn[]} birds
 * @property {import('../shared/pack.js').Reader} reader
 * @property {number} strangers
 * @property {number[]} [factors] */
/** @typedef {{doubts: string[], names: string[], chances: number[][], candidates: {id: number, chance: number}[], noneOfThese: number,
 *   reading: import('../shared/pack.js').Reading, lookNext: string|null}} Weighed   chances: a row a band, by `names` */

const beside = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));
/** @type {{key: string, looks: import('../shared/photograph-looks.js').Looks}|null} */
let made = null;

/** @param {Record<string, string>} palette @param {Record<string, string>} faded */
function looksFor(palette, faded) {
  const key = JSON.stringify([palette, faded]);
  if (made?.key !== key) made = { key, looks: looksOf(palette, faded) };
  return made.looks;
}

/** @param {Asked} asked @returns {Weighed} */
function weigh({ palette, faded, mean, bands, metal, layout, swap, birds, reader, strangers, factors }) {
  const taps = tapped(bands, metal, mean), photo = photographed(looksFor(palette, faded), taps);
  const found = whose(prepareFlock(birds, readerOfPhotographs(reader)), photo, layout, { strangers, factors, swap });
  return { doubts: taps.doubts, names: photo.names, chances: photo.chances.map((row) => [...row]), ...found };
}

beside.addEventListener('message', ({ data }) => {
  const { id, warm, asked } = data;
  if (warm) { looksFor(warm.palette, warm.faded); return; }
  try { beside.postMessage({ id, answer: weigh(asked) }); } catch (error) { beside.postMessage({ id, trouble: error instanceof Error ? error.message : String(error) }); }
});
