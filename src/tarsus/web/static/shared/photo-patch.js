// @ts-check
// The pixels of one tap: a patch of the band and not a pixel, its edges and its glare left out.

import { BURNT_OUT } from './photograph.js';

/** @typedef {import('./photograph.js').Pixel} Pixel */
/** @typedef {{width: number, height: number, data: ArrayLike<number>}} Picture   data: red, green, blue, alpha by pixel
 */

/** Pixels belong to one band while their colour is the tapped one's and their brightness near it: a cylinder turns from
 * the light. Both are invented, as is how many are enough. */
const SAME_COLOUR = 0.07, DARKER = 0.5, BRIGHTER = 1.9;
const ENOUGH = 12, MOST = 400;
/** Below this a channel is mostly noise, and no colour can be told by it. */
const NOISE = 8;

/**
 * The pixels around a tap that belong together with it.
 * @param {Picture} picture @param {number} x @param {number} y @param {number} reach  how far from the tap, in pixels
 * @returns {Pixel[]} at least one; none only where the tap lies beside the picture
 */
export function patchAt(picture, x, y, reach) {
  const cx = Math.round(x), cy = Math.round(y), far = Math.max(2, Math.round(reach));
  if (cx < 0 || cy < 0 || cx >= picture.width || cy >= picture.height) return [];
  const seed = middleOf(around(picture, cx, cy)), side = 2 * far + 1, inside = new Uint8Array(side * side);
  const queue = [[cx, cy]];
  inside[far * side + far] = 1;
  for (let next = queue.pop(); next; next = queue.pop()) {
    for (const [dx, dy] of NEXT_TO) {
      const px = next[0] + dx, py = next[1] + dy, at = (py - cy + far) * side + (px - cx + far);
      if (
        (px - cx) ** 2 + (py - cy) ** 2 > far * far || px < 0 || py < 0 || px >= picture.width || py >= picture.height
      ) continue;
      if (inside[at] || !alike(pixelAt(picture, px, py), seed)) continue;
      inside[at] = 1;
      queue.push([px, py]);
    }
  }
  const own = [], inner = [];
  for (let at = 0; at < inside.length; at += 1) {
    if (!inside[at]) continue;
    const pixel = pixelAt(picture, cx - far + (at % side), cy - far + Math.floor(at / side));
    own.push(pixel);
    if (NEXT_TO.every(([dx, dy]) => inside[at + dy * side + dx])) inner.push(pixel);
  }
  return thinned(withoutGlare(inner.length >= ENOUGH ? inner : own));
}

const NEXT_TO = [[-1, 0], [1, 0], [0, -1], [0, 1]];

/** @param {Picture} picture @param {number} x @param {number} y @returns {Pixel} */
function pixelAt({ width, data }, x, y) {
  const at = (y * width + x) * 4;
  return [data[at], data[at + 1], data[at + 2]];
}

/** @param {Picture} picture @param {number} x @param {number} y @returns {Pixel[]} */
function around(picture, x, y) {
  const found = [];
  for (let dy = -1; dy <= 1; dy += 1) {
    for (let dx = -1; dx <= 1; dx += 1) {
      const px = x + dx, py = y + dy;
      if (px >= 0 && py >= 0 && px < picture.width && py < picture.height) found.push(pixelAt(picture, px, py));
    }
  }
  return found;
}

/** @param {Pixel[]} pixels @returns {Pixel} the middle value of each channel */
const middleOf = (pixels) =>
  [0, 1, 2].map((at) => pixels.map((pixel) => pixel[at]).sort((a, b) => a - b)[pixels.length >> 1]);

/** @param {Pixel} pixel @param {Pixel} seed @returns {boolean} */
function alike(pixel, seed) {
  const sum = pixel[0] + pixel[1] + pixel[2] + 3 * NOISE,
    of = seed[0] + seed[1] + seed[2] + 3 * NOISE,
    ratio = sum / of;
  if (ratio < DARKER || ratio > BRIGHTER) return false;
  return [0, 1, 2].every((at) => Math.abs((pixel[at] + NOISE) / sum - (seed[at] + NOISE) / of) < SAME_COLOUR);
}

/** Glare is left out of a patch that shows its colour elsewhere; one that is mostly burnt out stays so, and is said to
 * be.
 * @param {Pixel[]} pixels @returns {Pixel[]} */
function withoutGlare(pixels) {
  const good = pixels.filter((pixel) => Math.max(...pixel) < BURNT_OUT);
  return good.length > pixels.length / 2 ? good : pixels;
}

/** Evenly fewer pixels of a large patch. @param {Pixel[]} pixels @returns {Pixel[]} */
function thinned(pixels) {
  const step = Math.ceil(pixels.length / MOST);
  return step > 1 ? pixels.filter((_, at) => at % step === 0) : pixels;
}

/** The mean linear luminance of a picture, by every so many pixels of it.
 * @param {Picture} picture @param {(pixel: Pixel) => number} luminance  of one pixel, linear @returns {number} */
export function meanOf({ data, width, height }, luminance) {
  const step = Math.max(1, Math.floor((width * height) / 20000));
  let sum = 0, n = 0;
  for (let at = 0; at < width * height; at += step) {
    sum += luminance([data[at * 4], data[at * 4 + 1], data[at * 4 + 2]]);
    n += 1;
  }
  return n ? sum / n : 0;
}
