// @ts-check
// The close drawing, 74 units wide and one unit a pixel: cut to the banded part, so that a band's letter never falls
// under 13 px. More bands make it taller, never smaller. For lists and tiles.

import { bandsAt, bothUsed, SIDES, tarsusOf } from './band-sites.js';
import { bareDash, limb, short, stack } from './band-parts.js';
import { PARROT_OUTLINE } from './band-bodies.js';

/** @typedef {import('./band-sites.js').Drawing} Drawing */
/** @typedef {import('./band-parts.js').Worn} Worn */
/** @typedef {[number, number, string]} Sized width, height, contents */

const WIDE = 74, MID = WIDE / 2;
const BAND = { w: 32, h: 18.5, gap: 2.5 };

/** @param {number} n @returns {number} the height of so many bands */
const lengthOf = (n) => n * (BAND.h + BAND.gap) - BAND.gap;

/** @param {(Worn[] | null | undefined)[]} sites @returns {number} the height of the fullest of them */
const most = (sites) => lengthOf(Math.max(1, ...sites.map((bands) => bands?.length ?? 0)));

/** Which side a leg is, in a word below it, on the outer side of the leg.
 * @param {string} side @param {boolean} outerLeft @param {number} y
 * @param {boolean} [quiet]  no words in the drawing: left and right stand beside it */
const word = (side, outerLeft, y, quiet = false) =>
  quiet ?
    '' :
    `<text class="side-word ${outerLeft ? 'start" x="0' : `end" x="${WIDE}`}" y="${y}">${side}</text>`;

/**
 * @param {Worn[] | null | undefined} bands
 * @param {number} x
 * @param {number} top
 * @param {number} length
 * @param {Drawing} o
 */
function closeSite(bands, x, top, length, o) {
  if (bands === undefined) return '';
  if (bands === null) return `<rect class="unseen" x="${x - 15}" y="${top}" width="30" height="${length}" rx="4"/>`;
  if (!bands.length) return bareDash(x, top + length / 2, 0.6);
  const own = lengthOf(bands.length);
  return stack(x, top + (length - own) / 2, own, bands, BAND.w, BAND.h, MID, o.palette);
}

/** @param {Drawing} o @returns {Sized} */
export function closeLegs(o) {
  const [me, tall, both] = [o.facing === 'me', o.form === 'tall', bothUsed(o)];
  const at = (/** @type {string} */ part) => SIDES.map((side) => bandsAt(o, `${side} ${part}`));
  const upper = most(at(tall ? 'tibia' : 'leg')), lower = both ? most(at('leg')) : 0;
  const joint = upper + 10, end = both ? joint + lower + 12 : tall ? joint + 8 : upper + 8;
  let s = '';
  for (const side of SIDES) {
    const left = (side === 'left') === !me, x = left ? 19 : 55;
    const tarsus = tarsusOf(o, side), first = tall ? bandsAt(o, `${side} tibia`) : tarsus;
    s += limb(`M${x} 0V${end}`, 6.5, first === null);
    if (tall) s += `<ellipse class="joint" cx="${x}" cy="${joint}" rx="5.4" ry="4"/>`;
    s += closeSite(first, x, 3, upper, o);
    if (tall && both) s += closeSite(tarsus, x, joint + 8, lower, o);
    s += word(side, left, end + 12, o.quiet);
  }
  return [WIDE, end + (o.quiet ? 2 : 14), s];
}

/** @param {Drawing} o @returns {Sized} */
export function closeWings(o) {
  const me = o.facing === 'me';
  const high = most(SIDES.map((side) => bandsAt(o, `${side} wing`))), end = high + 24;
  let s = '';
  for (const side of SIDES) {
    const left = (side === 'left') === !me, x = left ? 17 : 57, bands = bandsAt(o, `${side} wing`);
    const p = (/** @type {number} */ v) => (left ? MID - v : MID + v);
    const path = `M${p(4)} 2C${p(18)} 0 ${p(32)} 6 ${p(36)} ${end - 20}C${p(28)} ${end - 13} ${p(14)} ${end - 12} ${
      p(4)
    } ${end - 18}Z`;
    s += `<path class="flipper${bands === null ? ' is-unseen' : ''}" d="${path}"/>` + closeSite(bands, x, 5, high, o);
    s += word(side, left, end, o.quiet);
  }
  const legs = SIDES.map((side) => bandsAt(o, `${side} leg`));
  let below = 0;
  if (legs.some((bands) => bands?.length)) {
    below = most(legs) + 6;
    s += SIDES.map((
      side,
      i,
    ) => (legs[i]?.length ? closeSite(legs[i], (side === 'left') === !me ? 17 : 57, end + 5, most(legs), o) : '')).join(
      '',
    );
  }
  return [WIDE, end + 2 + below, s + `<path class="pelt" d="M32 0H42V${end - 14}H32z"/>`];
}

/** @param {Drawing} o @returns {Sized} */
export function closeTold(o) {
  const k = 52 / 248;
  const pins = o.pins.map(({ x, y }) =>
    `<circle class="pindot" cx="${short(13 + x * 2.4 * k)}" cy="${short(y * 2.48 * k)}" r="4.8"/>`
  );
  const feet = '<path class="limb-out" stroke-width="16" d="M120 184V228M148 184V228"/>';
  const bird =
    `<g transform="translate(13 0) scale(${k.toFixed(4)})">${feet}<path class="pelt told" d="${PARROT_OUTLINE}"/></g>`
    + pins.join('');
  const legs = SIDES.map((side) => bandsAt(o, `${side} leg`)), banded = legs.some((bands) => bands?.length);
  const row = banded
    ? SIDES.map((
      side,
      i,
    ) => (legs[i]?.length
      ? closeSite(legs[i], (side === 'left') === (o.facing !== 'me') ? 17 : 57, 55, most(legs), o)
      : '')
    ).join('')
    : '';
  return [WIDE, 52 + (banded ? most(legs) + 6 : 0), bird + row];
}
