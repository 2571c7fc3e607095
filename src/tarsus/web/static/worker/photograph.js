// @ts-check
// Beside the page: opens a picture, makes the tables of a palette once and weighs what was tapped, so that the page
// never waits.

import { fitted, NO_PICTURE, scaled } from '../shared/photo-scale.js';
import { photographed, readerOfPhotographs, tapped, whose } from '../shared/photograph.js';
import { looksOf } from '../shared/photograph-looks.js';
import { prepareFlock } from '../shared/reading.js';

/** @typedef {object} Asked   what the page asks
 * @property {Record<string, string>} palette
 * @property {Record<string, string>} faded
 * @property {import('../shared/photograph.js').Camera} [camera]
 * @property {number} mean
 * @property {import('../shared/photograph.js').Pixel[][]} bands
 * @property {import('../shared/photograph.js').Pixel[]|null} metal
 * @property {import('../shared/photograph.js').Layout} layout
 * @property {number} [swap]
 * @property {import('../shared/reading.js').Worn[]} birds
 * @property {import('../shared/pack.js').Reader} reader
 * @property {number} strangers
 * @property {number[]} [factors] */
/** @typedef
 * {{doubts: string[], names: string[], chances: number[][], candidates: {id: number, chance: number}[],
 * noneOfThese: number,
 *   reading: import('../shared/pack.js').Reading, lookNext:
 * string|null}} Weighed   chances: a row a band, by `names` */

const beside = /** @type {DedicatedWorkerGlobalScope} */ (/** @type {unknown} */ (self));
/** @type {{key: string, looks: import('../shared/photograph-looks.js').Looks}|null} */
let made = null;
/** What each band gave, of these looks and this camera: whoever taps one more does not wait for the others again.
 * @type {{key: string, fits: Map<string, Float64Array>}} */
let known = { key: '', fits: new Map() };
/** @type {{key: string, flock: import('../shared/reading.js').PreparedFlock}|null} */
let prepared = null;

/** @param {Record<string, string>} palette @param {Record<string, string>} faded */
function looksFor(palette, faded) {
  const key = JSON.stringify([palette, faded]);
  if (made?.key !== key) made = { key, looks: looksOf(palette, faded) };
  return made.looks;
}

/** @param {import('../shared/photograph.js').Camera} [camera] */
function fitsFor(camera) {
  const key = JSON.stringify([made?.key, camera]);
  if (known.key !== key) known = { key, fits: new Map() };
  return known.fits;
}

/** @param {import('../shared/reading.js').Worn[]} birds @param {import('../shared/pack.js').Reader} reader */
function flockOf(birds, reader) {
  const key = JSON.stringify([birds, reader]);
  if (prepared?.key !== key) prepared = { key, flock: prepareFlock(birds, readerOfPhotographs(reader)) };
  return prepared.flock;
}

/** @param {Asked} asked @returns {Weighed} */
function weigh({ palette, faded, camera, mean, bands, metal, layout, swap, birds, reader, strangers, factors }) {
  const taps = tapped(bands, metal, mean), looks = looksFor(palette, faded);
  const photo = photographed(looks, taps, camera, fitsFor(camera));
  const found = whose(flockOf(birds, reader), photo, layout, { strangers, factors, swap });
  return { doubts: taps.doubts, names: photo.names, chances: photo.chances.map((row) => [...row]), ...found };
}

/** @typedef {{width: number, height: number, pixels: ArrayBufferLike, mean: number, image: ImageBitmap}} Opened */

/** Open a picture, turned as it was held, its longer side no longer than `longest`; or turn one that is open.
 * @param {{file?: File, image?: ImageBitmap, longest: number}} asked @returns {Promise<Opened>} */
async function open({ file, image, longest }) {
  const whole = image ||
    await createImageBitmap(/** @type {File} */ (file), { imageOrientation: 'from-image' }).catch(() => {
      throw new Error(NO_PICTURE);
    });
  const { width, height } = fitted(image ? { width: whole.height, height: whole.width } : whole, longest);
  const canvas = new OffscreenCanvas(width, height), { pixels, mean } = scaled(whole, canvas, Boolean(image));
  whole.close();
  return { width, height, pixels: pixels.data.buffer, mean, image: canvas.transferToImageBitmap() };
}

beside.addEventListener('message', ({ data }) => {
  const { id, warm, asked, picture } = data;
  if (picture) {
    open(picture).then(
      (answer) => beside.postMessage({ id, answer }, [answer.pixels, answer.image]),
      (error) => beside.postMessage({ id, trouble: error.message }),
    );
    return;
  }
  if (warm) {
    looksFor(warm.palette, warm.faded);
    return;
  }
  try {
    beside.postMessage({ id, answer: weigh(asked) });
  } catch (error) {
    beside.postMessage({ id, trouble: error instanceof Error ? error.message : String(error) });
  }
});
