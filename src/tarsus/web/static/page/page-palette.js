// @ts-check
// The palette of the park whose page this is.

import { paletteOf } from '../shared/palette.js';

/** @type {import('../shared/palette.js').Palette | undefined} */
let found;

/** @returns {import('../shared/palette.js').Palette} */
export function pagePalette() {
  if (!found) {
    const meta = document.querySelector('meta[name="palette"]');
    const { palette = {}, letters = {} } = JSON.parse(meta?.getAttribute('content') || '{}');
    found = paletteOf(palette, letters);
  }
  return found;
}

/**
 * Take another palette: that of a pack, which may be newer than the page.
 * @param {Record<string, string>} palette sRGB by name
 * @param {Record<string, string>} letters
 */
export function usePalette(palette, letters) {
  found = paletteOf(palette, letters);
}
