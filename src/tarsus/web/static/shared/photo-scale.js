// @ts-check
// A picture made smaller, or turned, on a canvas that is handed in: beside the page where the browser can, else on it.

import { meanOf } from './photo-patch.js';
import { linear, luminance } from './photograph-looks.js';

/** What is said of a file that is no picture. */
export const NO_PICTURE = 'That is no picture this phone can open. Take one, or choose a JPEG or PNG.';

/** @typedef {{width: number, height: number, getContext: (kind: '2d', how?: any) => any}} Canvas   of the page, or
 * beside it
 * @typedef {{pixels: {data: Uint8ClampedArray, width: number, height: number}, mean: number}} Scaled   mean: of its
 * linear luminance */

/** How large a picture is shown, its longer side no longer than this. @param {{width: number, height: number}} whole
 * @param {number} longest
 * @returns {{width: number, height: number}} */
export function fitted({ width, height }, longest) {
  const share = Math.min(1, longest / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * share)), height: Math.max(1, Math.round(height * share)) };
}

/** Draw a picture to the size of a canvas, a quarter to the right where it is `turned`.
 * @param {unknown} image  whatever the canvas draws
 * @param {Canvas} canvas @param {boolean} turned @returns {Scaled} */
export function scaled(image, canvas, turned) {
  const { width, height } = canvas, brush = canvas.getContext('2d', { willReadFrequently: true });
  brush.imageSmoothingQuality = 'high';
  if (turned) {
    brush.translate(width, 0);
    brush.rotate(Math.PI / 2);
    brush.drawImage(image, 0, 0, height, width);
  } else brush.drawImage(image, 0, 0, width, height);
  const pixels = brush.getImageData(0, 0, width, height);
  return { pixels, mean: meanOf(pixels, (pixel) => luminance(pixel.map(linear))) };
}
