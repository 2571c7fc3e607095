// @ts-check
// The band drawing: one bird's own legs or wings with its bands, as SVG. One drawing for lists, input and plots.
// Sides are the bird's own: facing away its left stands on your left, facing you the drawing is mirrored.

import { figureLegs, figureTold, figureWings } from './band-figure.js';
import { closeLegs, closeTold, closeWings } from './band-close.js';
import { keyFace } from './band-key.js';
import { bandInWords, textAlternative } from './band-words.js';
import { band, escaped } from './band-parts.js';
import { NO_PALETTE } from './palette.js';

export { inWords } from './band-words.js';
export { paletteOf } from './palette.js';

/** @typedef {import('./band-sites.js').Drawing} Drawing */

const FIGURES = { legs: figureLegs, tall: figureLegs, wings: figureWings, told: figureTold };
const CLOSE = { legs: closeLegs, tall: closeLegs, wings: closeWings, told: closeTold };
const AT = { figure: FIGURES, close: CLOSE };

/** @type {Drawing} */
const USUAL = {
  marks: {},
  flags: {},
  form: 'legs',
  facing: 'away',
  at: 'close',
  reading: false,
  active: '',
  look: '',
  pins: [],
  name: '',
  quiet: false,
  input: false,
  palette: NO_PALETTE,
};

/**
 * The form that shows every band: a bird of a species banded on the tarsus may arrive with one above the joint.
 * @param {Drawing} o
 */
function formShowing({ form, marks }) {
  const worn = (/** @type {string} */ part) => ['left', 'right'].some((side) => marks[`${side} ${part}`]?.length);
  if (form === 'wings') return form;
  if (worn('wing')) return 'wings';
  if (form === 'told' && !worn('tibia')) return form;
  return worn('tibia') ? 'tall' : form;
}

/**
 * @param {Partial<Drawing>} options
 * @returns {string} one `<svg>` element with its text alternative
 */
export function draw(options) {
  /** @type {Drawing} */
  const o = { ...USUAL, ...options };
  const label = `role="${o.input ? 'group' : 'img'}" aria-label="${escaped(textAlternative(o))}"`;
  o.form = formShowing(o);
  const figure = o.at === 'figure';
  const [width, height, contents] = AT[o.at][o.form](o);
  const high = Math.round(height * 100) / 100;
  // A close drawing is one unit to a pixel; the figure's height is left to the page.
  const size = figure ? '' : ` width="${width}" height="${high}"`;
  return `<svg class="bd bd-${o.at} bd-${o.form}" viewBox="0 0 ${width} ${high}"${size} ${label}>${contents}</svg>`;
}

/**
 * The face of a whole-leg key. It says nothing by itself: the key's button names it.
 * @param {Parameters<typeof keyFace>[0]} leg
 * @returns {string}
 */
export const key = (leg) => `<svg class="bd bd-key" viewBox="0 0 44 44" aria-hidden="true">${keyFace(leg)}</svg>`;

/**
 * One band by itself, beside its name: in a list of colours, of a bird's bands, of what to order.
 * @param {string} colour
 * @param {import('./palette.js').Palette} palette
 * @param {string} [flags]
 * @returns {string}
 */
export function chip(colour, palette, flags = '') {
  const drawn = band(16, 3, 29, 19, { band: colour, flags }, 0, palette);
  const label = escaped(bandInWords(colour, flags));
  return `<svg class="bd bd-chip" viewBox="0 0 32 25" role="img" aria-label="${label}">${drawn}</svg>`;
}
