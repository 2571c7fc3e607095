// @ts-check
// The figure, 240 by 248 units: large enough to read a bird's bands and to tap its sites.

import { bandsAt, bothUsed, openSite, SIDES, tarsusOf } from './band-sites.js';
import { bareDash, corners, limb, lookHere, short, stack, stackPlaces, toes } from './band-parts.js';
import { BODY, PARROT_DETAIL, PARROT_OUTLINE, PENGUIN } from './band-bodies.js';

/** @typedef {import('./band-sites.js').Drawing} Drawing */
/** @typedef {import('./band-parts.js').Worn} Worn */
/** @typedef {[number, number, string]} Sized width, height, contents */

const MID = 120;
const WORN_W = 58;

/**
 * Which side a limb is, in words on its outer side: never by a letter, which could be a band's.
 * @param {boolean} onYourLeft
 * @param {number} y  of the second line
 * @param {string} words  one or two
 */
function sideLabel(onYourLeft, y, words) {
  const [x, at] = onYourLeft ? [0, 'start'] : [240, 'end'], lines = words.split(' ');
  const spans = lines.map((line, i) => `<tspan x="${x}" y="${y - 24 * (lines.length - 1 - i)}">${line}</tspan>`);
  return `<text class="side ${at}">${spans.join(' ')}</text>`;
}

/** In two lines, or the words lie on the box that they stand in. @param {number} x @param {number} middle */
const notSeen = (x, middle) =>
  `<text class="word" x="${x}" y="${middle - 3}">not <tspan x="${x}" dy="15">seen</tspan></text>`;

/** Where the joint and the foot of a leg are. @param {boolean} tall @param {boolean} both @param {boolean} [far] */
const legEnds = (tall, both, far = false) => ({ joint: !tall ? 72 : both ? 112 : 140, foot: far ? 202 : 212 });

/**
 * The room that the bands of a leg's site have.
 * @param {boolean} tibia
 * @param {boolean} both tibia and tarsus share the leg
 * @param {{joint: number, foot: number}} ends
 */
const legRoom = (tibia, both, { joint, foot }) => ({
  top: tibia ? 46 : joint + 10,
  length: tibia ? joint - 54 : foot - joint - 18,
  height: both ? 29 : 38,
});

/**
 * Where each band of a bird that faces away is drawn on its figure: for what points at a band.
 * @param {Drawing} o
 * @param {string} site
 * @returns {{x: number, bands: {y: number, h: number}[]}}
 */
export function bandPlaces(o, site) {
  const [side, part] = site.split(' '), n = bandsAt(o, site)?.length || 0, left = side === 'left';
  // Wings hang aslant: what points at them takes in the whole wing.
  if (part === 'wing')
    return { x: left ? 42 : 198, bands: Array.from({ length: Math.max(1, n) }, () => ({ y: 92, h: 64 })) };
  const both = bothUsed(o), { top, length, height } = legRoom(part === 'tibia', both, legEnds(o.form === 'tall', both));
  return {
    x: left ? 74 : 166,
    bands: n ? stackPlaces(top, length, n, height) : [{ y: top + length / 2 - height / 2, h: height }],
  };
}

/**
 * One site of a leg: its state, its bands, and what points at it.
 * @param {Drawing} o
 * @param {string} site
 * @param {Worn[] | null} bands
 * @param {{x: number, top: number, length: number, k: number, height: number, lookY: number}} room
 */
function legSite(o, site, bands, { x, top, length, k, height, lookY }) {
  const middle = top + length / 2;
  let s = `${openSite(o, site)}<rect class="zone" x="${x - 46}" y="${top - 4}" width="92" height="${length + 8}"/>`;
  if (bands === null) {
    s += `<rect class="unseen" x="${x - 29 * k}" y="${top + 4}" width="${WORN_W * k}" height="${length - 8}" rx="7"/>`;
    if (!o.quiet) s += notSeen(x, middle);
  } else if (!bands.length) {
    s += bareDash(x, middle, 1);
    if (!o.quiet) s += `<text class="word start" x="${x + 20}" y="${middle + 4}">bare</text>`;
  } else {
    s += stack(x, top, length, bands, WORN_W * k, height * k, MID, o.palette);
  }
  if (o.active === site) s += corners(x - 43, top - 2, 86, length + 4);
  if (o.look === site) s += lookHere(x < MID ? x - 66 : x + 66, lookY, x < MID ? 1 : -1);
  return `${s}</g>`;
}

/**
 * @param {Drawing} o
 * @param {import('./band-sites.js').Side} side
 * @param {boolean} both
 */
function figureLeg(o, side, both) {
  const me = o.facing === 'me';
  const walks = o.facing === 'left' || o.facing === 'right';
  const tall = o.form === 'tall';
  const far = walks && side !== o.facing;
  const k = far ? 0.82 : 1;
  const x = (side === 'left') === !me ? 74 : 166;
  const ends = legEnds(tall, both, far), { joint, foot } = ends;
  const tibia = tall ? bandsAt(o, `${side} tibia`) : undefined;
  const tarsus = tarsusOf(o, side);
  let s = limb(`M${x} 36V${joint}`, 11 * k, tibia === null) + limb(`M${x} ${joint}V${foot}`, 9 * k, tarsus === null);
  s += `<ellipse class="joint" cx="${x}" cy="${joint}" rx="${9.5 * k}" ry="${7.5 * k}"/>`;
  const d = o.facing === 'left' ? -1 : 1;
  s += walks
    ? limb(`M${x} ${foot}l${24 * d} 5M${x} ${foot}l${20 * d} 15M${x} ${foot}l${-12 * d} 9`, 9 * k)
    : toes(x, foot, me, 1, x < MID ? -1 : 1);
  if (!tall || both) {
    const room = legRoom(false, both, ends);
    const lookY = both ? 114 : room.top + room.length / 2 + 6;
    s += legSite(o, `${side} leg`, tarsus === undefined ? [] : tarsus, { ...room, x, k, lookY });
  }
  if (tall) {
    const room = legRoom(true, both, ends);
    s += legSite(o, `${side} tibia`, tibia ?? null, { ...room, x, k, lookY: room.top + room.length / 2 + 6 });
  }
  const words = walks ? `${side} ${far ? 'far' : 'near'}` : `its ${side}`;
  // Beside the tarsus, or beside the foot where the tarsus has bands: over the joint it would lie on the body.
  return s + sideLabel(x < MID, tall && !both ? 178 : 238, words);
}

/**
 * @param {Drawing} o
 * @returns {Sized}
 */
export function figureLegs(o) {
  const walks = o.facing === 'left' || o.facing === 'right';
  const turned = o.facing === 'right' ? ' transform="translate(240 0) scale(-1 1)"' : '';
  const body = walks ? `<g${turned}>${BODY.walks}</g>` : o.facing === 'me' ? BODY.me : BODY.away;
  const both = bothUsed(o);
  return [240, 248, body + SIDES.map((side) => figureLeg(o, side, both)).join('')];
}

/**
 * @param {Drawing} o
 * @param {import('./band-sites.js').Side} side
 */
function figureWing(o, side) {
  const out = (side === 'left') === (o.facing !== 'me') ? -1 : 1;
  const [x, y, site] = [MID + out * 78, 124, `${side} wing`];
  const bands = bandsAt(o, site);
  let s = `${openSite(o, site)}<rect class="zone" x="${x - 42}" y="70" width="84" height="126"/>`;
  if (bands === null) {
    s += `<rect class="unseen" x="${x - 27}" y="${y - 26}" width="54" height="52" rx="7"/>`;
    if (!o.quiet) s += notSeen(x, y);
  } else if (!bands.length) {
    s += `<path class="nil" d="M${x - 14} ${y + 6}l28 -12"/>`;
    if (!o.quiet) s += `<text class="word" x="${x}" y="${y - 16}">bare</text>`;
  } else {
    const length = bands.length > 1 ? 62 : 34;
    const worn = stack(x, y - length / 2, length, bands, 52, 34, MID, o.palette);
    s += `<g transform="rotate(${out * -22} ${x} ${y})">${worn}</g>`;
  }
  if (o.active === site) s += corners(x - 40, 76, 80, 98);
  if (o.look === site) s += lookHere(MID + out * 118, y, -out);
  return `${s}</g>${sideLabel(out < 0, 50, `its ${side}`)}`;
}

/**
 * A band on the leg of a bird that is banded on the wing: at its foot.
 * @param {Drawing} o
 */
function bandsAtTheFeet(o) {
  return SIDES.map((side) => {
    const bands = bandsAt(o, `${side} leg`);
    const x = (side === 'left') === (o.facing !== 'me') ? 92 : 148;
    return bands?.length ? stack(x, 208, 24, bands, 40, 22, MID, o.palette) : '';
  }).join('');
}

/**
 * @param {Drawing} o
 * @returns {Sized}
 */
export function figureWings(o) {
  const me = o.facing === 'me';
  const flippers = SIDES.map((side) => {
    const out = (side === 'left') === !me ? -1 : 1;
    const p = (/** @type {number} */ v) => MID + out * v;
    const path = `M${p(46)} 76C${p(70)} 92 ${p(96)} 130 ${p(102)} 180C${p(86)} 174 ${p(60)} 150 ${p(48)} 118Z`;
    return `<path class="flipper${bandsAt(o, `${side} wing`) === null ? ' is-unseen' : ''}" d="${path}"/>`;
  }).join('');
  const bird = PENGUIN.feet + flippers + PENGUIN.pelt + (me ? PENGUIN.front : PENGUIN.back);
  return [240, 248, bird + SIDES.map((side) => figureWing(o, side)).join('') + bandsAtTheFeet(o)];
}

/**
 * A bird without bands: its outline with numbered pins at its natural marks.
 * @param {Drawing} o
 * @returns {Sized}
 */
export function figureTold(o) {
  const pins = o.pins.map((pin, i) => {
    const [x, y] = [short(pin.x * 2.4), short(pin.y * 2.48)];
    const number = `<text x="${x}" y="${short(pin.y * 2.48 + 7.4)}" font-size="21">${i + 1}</text>`;
    return `<g class="pin"><circle cx="${x}" cy="${y}" r="16"/>${number}</g>`;
  });
  const legs = limb('M120 184V214M146 186V214', 11);
  const feet = limb('M104 226L120 214 112 232M136 214M130 228L146 214 140 232M120 214l12 12M146 214l14 10', 7);
  const outline = `<path class="pelt told" d="${PARROT_OUTLINE}"/>${PARROT_DETAIL}`;
  const bands = [120, 146].map((x, i) => {
    const worn = bandsAt(o, `${SIDES[i]} leg`);
    return worn?.length ? stack(x, 194, 18, worn, 24, 14, MID, o.palette) : '';
  });
  return [240, 248, legs + feet + outline + bands.join('') + pins.join('')];
}
