// @ts-check
// Two birds side by side, large: what differs is bracketed and numbered alike on both; below, the banded part through
// four pairs of eyes, near and as at 30 metres. Drawn by the pieces of the band drawing.

import { draw } from './band-drawing.js';
import { bandPlaces } from './band-figure.js';
import { escaped, short } from './band-parts.js';
import { seenPalette } from './colour-vision.js';
import { EYES, formOf, sitesShown, tells, verdictFor } from './pair.js';
import { blurUnits } from './through-glasses.js';

/** @typedef {import('./pair.js').Bird} Bird */
/** @typedef {import('./pair.js').Spot} Spot */
/** @typedef {import('./palette.js').Palette} Palette */

/** How far off the second row is seen. */
export const METRES = 30;
/** What the pictures rest on, their sources named. */
export const RESTS_ON =
  `Both face away; colours as when new. At ${METRES} m: blurred as for an eye of acuity 1.0 (ISO 8596:2017) through`
  + ' 8 × glasses, a band 7 mm high. Deficient eyes: each at its strongest, which most are not (Machado, Oliveira and'
  + ' Fernandes 2009).';
const WIDE = 240, HIGH = 248, GAP = 24, BAND_UNITS = 38, AIR = 14;

/** @param {Bird} bird @param {Bird} beside @returns {any} a drawing as `draw` takes it */
const drawing = (bird, beside) => ({
  marks: sitesShown(bird, beside),
  flags: {},
  form: formOf(bird, beside),
  reading: false,
  facing: 'away',
  at: 'figure',
  quiet: true,
});

/** The inside of a bird's drawing. @param {Bird} bird @param {Bird} beside @param {Palette} palette */
const inside = (bird, beside, palette) =>
  draw({ ...drawing(bird, beside), palette }).replace(/^<svg[^>]*>|<\/svg>$/g, '');

/** A bracket beside what differs, with its number. @param {any} o @param {Spot} spot @param {number} number */
function bracket(o, { site, at }, number) {
  const { x, bands } = bandPlaces(o, site), left = site.startsWith('left'), out = left ? -1 : 1;
  const own = at === null ? bands : [bands[at]], whole = at === null ? 5 : 0;
  const top = own[0].y - whole,
    bottom = own[own.length - 1].y + own[own.length - 1].h + whole,
    from = x + out * 34,
    middle = (top + bottom) / 2;
  return `<path class="tell-line" d="M${short(from)} ${short(top)}h${out * 7}V${short(bottom)}h${-out * 7}"/>` +
    `<g class="tell-pin"><circle cx="${short(from + out * 23)}" cy="${short(middle)}" r="12"/><text x="${
      short(from + out * 23)
    }" y="${short(middle + 6)}" font-size="17">${number}</text></g>`;
}

/** The rows of a drawing that bands take, with some air. @param {any[]} drawings
 * @returns {[number, number]} top and height */
function banded(drawings) {
  const all = drawings.flatMap((o) => Object.keys(o.marks).flatMap((site) => bandPlaces(o, site).bands));
  const top = Math.min(...all.map(({ y }) => y)) - AIR, bottom = Math.max(...all.map(({ y, h }) => y + h)) + AIR;
  return [top, bottom - top];
}

/** Both birds in one picture. @param {Bird} one @param {Bird} other @param {string} inner @param {string} box
 * @param {string} kind @param {string} said */
const both = (one, other, inner, box, kind, said) =>
  `<svg class="bd bd-pair ${kind}" viewBox="${box}" role="img" aria-label="${escaped(said)}">${inner}</svg>`;

/** @param {string} left @param {string} right */
const sideBySide = (left, right) => `<g>${left}</g><g transform="translate(${WIDE + GAP} 0)">${right}</g>`;

/**
 * The whole picture as markup.
 * @param {Bird} one @param {Bird} other @param {Palette} palette @param {string} id  of this picture on its page
 * @param {Partial<Record<import('./colour-vision.js').Eyes, string>>} chances  how often each kind of eyes takes the
 * one
 *   for the other, as a sentence, where that is known
 * @returns {string}
 */
export function drawPair(one, other, palette, id, chances = {}) {
  const told = tells(one, other), [a, b] = [drawing(one, other), drawing(other, one)];
  const large = sideBySide(
    inside(one, other, palette) + told.map((tell, i) => bracket(a, tell.one, i + 1)).join(''),
    inside(other, one, palette) + told.map((tell, i) => bracket(b, tell.other, i + 1)).join(''),
  );
  const said = `${one.name} and ${other.name} side by side, both facing away. ${
    told.map(({ say }) => say).join(' ') || 'They wear the same.'
  }`;
  const [top, height] = banded([a, b]), across = 2 * WIDE + GAP, box = `0 ${short(top)} ${across} ${short(height)}`;
  const blur = short(blurUnits(METRES, BAND_UNITS));
  const rows = EYES.map(([eyes, words]) => {
    const seen = seenPalette(palette, eyes),
      inner = sideBySide(inside(one, other, seen), inside(other, one, seen)),
      filter = `${id}-${eyes}`;
    const far = `<filter id="${filter}" x="-5%" y="-5%" width="110%" height="110%">`
      + `<feGaussianBlur stdDeviation="${blur}"/></filter>`
      + `<g filter="url(#${filter})">${inner}</g>`;
    return `<section class="pair-eyes"><h3>${words}</h3><div class="pair-look"><span class="small">near</span>${
      both(one, other, inner, box, 'pair-near', `${words}, near`)
    }</div>` +
      `<div class="pair-look"><span class="small">${METRES} m</span>${
        both(one, other, far, box, 'pair-far', `${words}, at ${METRES} metres, blurred and without letters`)
      }</div><p class="small">${escaped(verdictFor(told, palette, eyes))}${
        chances[eyes] ? ` <b>${escaped(chances[eyes])}</b>` : ''
      }</p></section>`;
  });
  const name = (/** @type {Bird} */ bird) => `<span class="name">${escaped(bird.name)}</span>`;
  return `<div class="pair-stage"><div class="pair-names">${name(one)}${name(other)}</div>${
    both(one, other, large, `0 0 ${across} ${HIGH}`, 'pair-large', said)
  }` +
    (told.length
      ? `<ol class="tells">${told.map(({ say }) => `<li>${escaped(say)}</li>`).join('')}</ol></div>`
      : '<p class="tells">They wear the same.</p></div>') +
    `<div class="pair-rows">${rows.join('')}</div><p class="small pair-rests">${RESTS_ON}</p>`;
}
