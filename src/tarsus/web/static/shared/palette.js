// @ts-check
// A park's colours: the name, letter and sRGB of each band colour. Decisions only, no DOM.

/**
 * @typedef {object} Colour
 * @property {string} letter what is written in the band
 * @property {string} hex sRGB of the band
 * @property {string} ink the colour of the letter on it, the better readable of black and white
 * @property {boolean} dark printed solid on black-and-white paper
 */
/** @typedef {Map<string, Colour>} Palette */

export const METAL = 'metal';
export const NOT_MADE_OUT = '?';
/** @type {Palette} */
export const NO_PALETTE = new Map();

const METAL_HEX = '#dde1e2';
const DARK_INK = '#111111';
const LIGHT_INK = '#ffffff';
/** Bands below this luminance are printed solid; a pure blue lies below it, a strong red or green above. */
const SOLID_ON_PAPER = 0.105;

/**
 * Relative luminance of an sRGB colour (WCAG 2.2, "relative luminance").
 * @param {string} hex
 * @returns {number} 0 for black to 1 for white
 */
export function luminance(hex) {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const part = parseInt(hex.slice(at, at + 2), 16) / 255;
    return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

/**
 * Contrast ratio of two sRGB colours (WCAG 2.2, "contrast ratio").
 * @param {string} one
 * @param {string} other
 */
export function contrast(one, other) {
  const [low, high] = [luminance(one), luminance(other)].sort((a, b) => a - b);
  return (high + 0.05) / (low + 0.05);
}

/**
 * @param {Record<string, string>} hexes sRGB by colour name
 * @param {Record<string, string>} letters letter by colour name; a name without one shows its first letter
 * @returns {Palette}
 */
export function paletteOf(hexes, letters) {
  const withMetal = letters[METAL] ? { ...hexes, [METAL]: METAL_HEX } : hexes;
  return new Map(
    Object.entries(withMetal).map(([name, hex]) => [
      name,
      {
        letter: letters[name] ?? name.slice(0, 1).toUpperCase(),
        hex,
        ink: contrast(hex, DARK_INK) >= contrast(hex, LIGHT_INK) ? DARK_INK : LIGHT_INK,
        dark: luminance(hex) < SOLID_ON_PAPER,
      },
    ]),
  );
}

/**
 * The letter written in a band.
 * @param {string} band
 * @param {Palette} palette
 */
export function letterOf(band, palette) {
  if (band === METAL) return palette.get(METAL)?.letter ?? 'm';
  if (band === NOT_MADE_OUT) return NOT_MADE_OUT;
  return palette.get(band)?.letter ?? band.slice(0, 1).toUpperCase();
}
