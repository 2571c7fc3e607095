// @ts-check
// The face of a whole-leg key: one leg, or one wing, with its stack, in a geometry of its own.

import { bareDash, limb, stack } from './band-parts.js';

/**
 * The face of a whole-leg key: one leg, or one wing, with its stack.
 * @param {{bands: string[], flags?: string[], wing?: boolean, palette: import('./palette.js').Palette}} leg
 * @returns {string}
 */
export function keyFace({ bands, flags = [], wing = false, palette }) {
  const limbs = wing ? '<path class="flipper" d="M4 4C20 2 36 12 42 42C26 40 8 26 4 4Z"/>' : limb('M22 0V44', 6.4);
  const worn = bands.map((name, i) => ({ band: name, flags: flags[i] ?? '' }));
  const [top, length] = worn.length > 1 ? [4, 38] : [0, 44];
  const marks = worn.length ? stack(22, top, length, worn, 36, 18, 22, palette) : bareDash(22, 22, 0.7);
  return limbs + marks;
}
