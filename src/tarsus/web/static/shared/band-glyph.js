// @ts-check
// The glyph, 66 units wide, for lists; and the key, one leg or wing with its stack. Their own geometry, not the
// figure scaled down.

import { bandsAt, bothUsed, sideLetter, SIDES, tarsusOf } from './band-sites.js';
import { bareDash, limb, short, stack, toes } from './band-parts.js';
import { PARROT_OUTLINE, SMALL_PENGUIN } from './band-bodies.js';

/** @typedef {import('./band-sites.js').Drawing} Drawing */
/** @typedef {import('./band-parts.js').Worn} Worn */
/** @typedef {[number, number, string]} Sized width, height, contents */

const MID = 33;
const TAIL = '<path class="tail" d="M29.5 0L31 6 33 9 35 6 36.5 0z"/>';

/**
 * @param {Worn[] | null | undefined} bands
 * @param {number} x
 * @param {number} top
 * @param {number} length
 * @param {number} w
 * @param {number} h
 * @param {Drawing} o
 */
function glyphSite(bands, x, top, length, w, h, o) {
  if (bands === undefined) return '';
  if (bands === null) {
    return `<rect class="unseen" x="${x - 9}" y="${top + 0.5}" width="18" height="${length - 1}" rx="2.4"/>`;
  }
  if (!bands.length) return bareDash(x, top + length / 2, 0.3);
  return stack(x, top, length, bands, w, h, MID, o.palette);
}

/**
 * The room of tibia and tarsus: three or four bands on one site lengthen that part of the leg, so that their
 * letters keep their size.
 * @param {Drawing} o
 */
function glyphRoom(o) {
  const most = (/** @type {string} */ part) =>
    Math.max(...SIDES.map((side) => o.marks[`${side} ${part}`]?.length ?? 0));
  const more = (/** @type {string} */ part) => Math.max(0, most(part) - 2) * 9.2;
  if (o.form !== 'tall') return { tibia: 0, tarsus: 19.8 + more('leg'), joint: 0, height: 28 + more('leg') };
  const both = bothUsed(o);
  const tibia = (both ? 18.4 : 21.6) + more('tibia');
  const joint = tibia + (both ? 2.1 : 4);
  // One row of bands fits below the joint; each further one lengthens the tarsus.
  const below = both ? Math.max(0, most('leg') - 1) * 9.2 : 0;
  return { tibia, tarsus: 13 + below, joint, height: 42 + more('tibia') + below };
}

/**
 * @param {Drawing} o
 * @returns {Sized}
 */
export function glyphLegs(o) {
  const [me, tall, both] = [o.facing === 'me', o.form === 'tall', bothUsed(o)];
  const room = glyphRoom(o);
  const foot = room.height - 5;
  let s = `<path class="cap" d="M8 0H58"/>${me ? '' : TAIL}`;
  for (const side of SIDES) {
    const x = (side === 'left') === !me ? 20 : 46;
    const tibia = tall ? bandsAt(o, `${side} tibia`) : undefined;
    const tarsus = tarsusOf(o, side);
    if (tall) {
      s += limb(`M${x} 0.5V${room.joint}`, 3, tibia === null) + limb(`M${x} ${room.joint}V${foot}`, 2.6, tarsus === null);
      s += `<circle class="joint" cx="${x}" cy="${room.joint}" r="2.2"/>`;
    } else {
      s += limb(`M${x} 0.5V${foot}`, 2.8, tarsus === null);
    }
    s += toes(x, foot, me, 0.2, x < MID ? -1 : 1);
    if (!tall) s += glyphSite(tarsus, x, 2.2, room.tarsus, 20, 9.4, o);
    else if (both) {
      s += glyphSite(tibia, x, 0.8, room.tibia, 22, 9.4, o);
      s += glyphSite(tarsus, x, room.joint + 2.5, room.tarsus, 22, 9.4, o);
    } else s += glyphSite(tibia, x, 1.2, room.tibia, 22, 10.4, o);
    const at = x < MID ? 'start" x="0' : 'end" x="66';
    s += `<text class="side ${at}" y="${room.height - 0.5}">${sideLetter(side)}</text>`;
  }
  const cut = o.crop && tall && !both ? 12.6 : 0;
  return [66, room.height - cut, s];
}

/**
 * @param {Drawing} o
 * @param {import('./band-sites.js').Side} side
 */
function glyphWing(o, side) {
  const out = (side === 'left') === (o.facing !== 'me') ? -1 : 1;
  const x = MID + out * 20;
  const bands = bandsAt(o, `${side} wing`);
  const at = out < 0 ? 'start" x="0' : 'end" x="66';
  const letter = `<text class="side ${at}" y="33.4">${sideLetter(side)}</text>`;
  if (bands === null) return `<rect class="unseen" x="${x - 9}" y="9" width="18" height="13" rx="2.4"/>${letter}`;
  if (!bands.length) {
    const turn = `rotate(${out * -70} ${x} 15.4)`;
    return `<path class="nil" d="M${x - 3.6} ${16.4 - out * 3.4}l7.2 ${out * 3.2}" transform="${turn}"/>${letter}`;
  }
  const [top, length] = bands.length > 1 ? [5, 20.6] : [10.6, 10.2];
  return stack(x, top, length, bands, 20, 10.2, MID, o.palette) + letter;
}

/**
 * Bands on the legs of a bird that is told by its wings or by its natural marks: in a row of their own, below it.
 * @param {Drawing} o
 * @param {number} top
 * @returns {[number, string]} the height they take, the bands
 */
function legRow(o, top) {
  const most = Math.max(...SIDES.map((side) => o.marks[`${side} leg`]?.length ?? 0));
  const row = SIDES.map((side) => {
    const bands = bandsAt(o, `${side} leg`);
    const x = (side === 'left') === (o.facing !== 'me') ? 20 : 46;
    return bands?.length ? stack(x, top, most * 10, bands, 20, 9.4, MID, o.palette) : '';
  });
  return [most * 10, row.join('')];
}

/**
 * @param {Drawing} o
 * @returns {Sized}
 */
export function glyphWings(o) {
  const me = o.facing === 'me';
  const flippers = SIDES.map((side) => {
    const out = (side === 'left') === !me ? -1 : 1;
    const p = (/** @type {number} */ v) => (MID + out * v).toFixed(1);
    const unseen = bandsAt(o, `${side} wing`) === null ? ' is-unseen' : '';
    const path = `M${p(4)} 11.2C${p(12)} 9.6 ${p(23.6)} 13.6 ${p(30)} 25.4C${p(21)} 23.4 ${p(12)} 19.4 ${p(5)} 16.4Z`;
    return `<path class="flipper${unseen}" d="${path}"/>`;
  }).join('');
  const bird =
    flippers + SMALL_PENGUIN.feet + SMALL_PENGUIN.pelt + (me ? SMALL_PENGUIN.front : SMALL_PENGUIN.back) + SMALL_PENGUIN.crest;
  const [more, legs] = legRow(o, 35);
  return [66, 34 + more, bird + SIDES.map((side) => glyphWing(o, side)).join('') + legs];
}

/**
 * @param {Drawing} o
 * @returns {Sized}
 */
export function glyphTold(o) {
  const k = 28 / 248;
  const pins = o.pins.map(
    ({ x, y }) => `<circle class="pindot" cx="${short(20 + x * 2.4 * k)}" cy="${short(y * 2.48 * k)}" r="2.6"/>`,
  );
  const legs = '<path class="limb-out" stroke-width="16" d="M120 184V228M148 184V228"/>';
  const outline = `<path class="pelt told" d="${PARROT_OUTLINE}"/>`;
  const bird = `<g transform="translate(20 0) scale(${k.toFixed(4)})">${legs}${outline}</g>`;
  const [more, bands] = legRow(o, 29);
  return [66, 28 + more, bird + pins.join('') + bands];
}

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
