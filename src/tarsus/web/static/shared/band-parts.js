// @ts-check
// The parts every band drawing is made of: bands, stacks, limbs, toes and the marks of a site's state.

import { OPEN_END } from './open-ends.js';
import { METAL, NOT_MADE_OUT, letterOf } from './palette.js';

/** @typedef {import('./palette.js').Palette} Palette */
/**
 * @typedef {object} Worn one band as it is drawn
 * @property {string} band
 * @property {string} flags `worn`, `faded`, `lost`, `tie`, joined by spaces
 */

/** @param {unknown} text */
export const escaped = (text) =>
  String(text).replace(/[&<>"]/g, (sign) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' })[sign] ?? sign);

/** @param {number} value */
export const short = (value) => String(Math.round(value * 100) / 100);

/**
 * @param {number} x
 * @param {number} y
 * @param {number} w
 * @param {number} h
 * @param {boolean} big
 */
function metalBody(x, y, w, h, big) {
  const lines = big ? 4 : 3;
  const step = (w * 0.27) / lines;
  let hatch = '';
  for (let i = 0; i < lines; i++) {
    const from = step * (i + 0.35);
    const lean = step * 0.9;
    hatch += `M${short(x + from)} ${short(y + h - 0.5)}L${short(x + from + lean)} ${short(y + 0.5)}`;
    hatch += `M${short(x + w - from - lean)} ${short(y + h - 0.5)}L${short(x + w - from)} ${short(y + 0.5)}`;
  }
  const box = `x="${short(x)}" y="${short(y)}" width="${short(w)}" height="${short(h)}" rx="${big ? 1.5 : 0.6}"`;
  return `<rect class="shell" ${box}/><path class="hatch" d="${hatch}"/>`;
}

/**
 * A cylinder seen slightly from above.
 * @param {number} x
 * @param {number} y
 * @param {number} w
 * @param {number} h
 * @param {boolean} big
 * @param {string} fill
 */
function colourBody(x, y, w, h, big, fill) {
  const r = big ? 5 : 1.8;
  const d = big ? h * 0.13 : 0.9;
  const [cx, x2, y2] = [x + w / 2, x + w, y + h];
  const at = (/** @type {number} */ px, /** @type {number} */ py) => `${short(px)} ${short(py)}`;
  const shape =
    `M${at(x, y + r)}Q${at(x, y)} ${at(x + r, y + d * 0.3)}Q${at(cx, y + d * 1.5)} ${at(x2 - r, y + d * 0.3)}` +
    `Q${at(x2, y)} ${at(x2, y + r)}V${short(y2 - r)}Q${at(x2, y2 - d * 0.2)} ${at(x2 - r, y2)}` +
    `Q${at(cx, y2 + d)} ${at(x + r, y2)}Q${at(x, y2 - d * 0.2)} ${at(x, y2 - r)}Z`;
  const gloss = big
    ? `<path class="sheen" d="M${at(x + w * 0.13, y + r + 2)}V${short(y2 - r)}"/>` +
      `<path class="shade" d="M${at(x2 - w * 0.08, y + r + 1)}V${short(y2 - r)}"/>`
    : '';
  return `<path class="shell"${fill ? ` fill="${fill}"` : ''} d="${shape}"/>${gloss}`;
}

/**
 * One band with its letter and its state.
 * @param {number} cx
 * @param {number} y
 * @param {number} w
 * @param {number} h
 * @param {Worn} worn
 * @param {number} mid where the bird's middle lies: a tie's lock sticks out on the other side of the leg
 * @param {Palette} palette
 */
export function band(cx, y, w, h, { band: name, flags }, mid, palette) {
  const x = cx - w / 2;
  const big = h > 14;
  const [metal, unsure, colour] = [name === METAL, name === NOT_MADE_OUT || name === OPEN_END, palette.get(name)];
  const kinds = ['band', metal ? 'is-metal' : unsure ? 'is-unsure' : 'is-colour'];
  if (colour?.dark) kinds.push('is-dark');
  if (flags.includes('lost')) kinds.push('is-lost');
  let out = `<g class="${kinds.join(' ')}">`;
  if (flags.includes('tie')) {
    const [size, side] = [big ? 1 : 0.32, cx < mid ? -1 : 1];
    const lock = `M${short(side < 0 ? x : x + w)} ${short(y + h / 2 - 6 * size)}h${short(side * 13 * size)}`;
    out += `<path class="tie" d="${lock}v${short(12 * size)}h${short(-side * 13 * size)}z"/>`;
  }
  out += metal ? metalBody(x, y, w, h, big) : colourBody(x, y, w, h, big, unsure ? '' : (colour?.hex ?? '#ffffff'));
  if (flags.includes('lost')) {
    out += `<path class="strike" d="M${short(x - 2)} ${short(y + h + 1)}L${short(x + w + 2)} ${short(y - 1)}"/>`;
  }
  const size = big ? Math.min(h * 0.74, 23) : Math.min(h * 0.94, 8.8);
  const base = y + h / 2 + size * 0.36 + (metal || !big ? 0 : h * 0.045);
  if (flags.includes('faded')) {
    // Beside the letter: a pale line across its foot makes a B of an R.
    const [at, own] = [short(y + h * 0.78), size * 0.55];
    out += `<path class="bleach" d="M${short(x + 1)} ${at}H${short(cx - own)}M${short(cx + own)} ${at}H${
      short(x + w - 1)
    }"/>`;
  }
  const ink = colour && !metal && !flags.includes('lost') ? ` fill="${colour.ink}"` : '';
  if (name === OPEN_END) {
    // Three dots: more may follow here. No letter, so that it is taken for none.
    const dot = short(size / 9), middle = short(y + h / 2);
    out += [-1, 0, 1].map((at) => `<circle class="dot" cx="${short(cx + (at * w) / 5)}" cy="${middle}" r="${dot}"/>`)
      .join('');
  } else {
    out += `<text x="${short(cx)}" y="${short(base)}" font-size="${short(size)}"${ink}>`;
    out += `${escaped(letterOf(name, palette))}</text>`;
  }
  if (flags.includes('worn')) {
    const n = [short(x + w + 1), short(y + h * 0.2), short(-h * 0.34), short(h * 0.3), short(h * 0.34)];
    out += `<path class="nick" d="M${n[0]} ${n[1]}l${n[2]} ${n[3]}l${n[4]} ${n[3]}z"/>`;
  }
  return `${out}</g>`;
}

/**
 * Where the bands of one site stand, from the body outward.
 * @param {number} top
 * @param {number} length
 * @param {number} n how many bands
 * @param {number} h the height of one band where there is room
 * @returns {{y: number, h: number}[]}
 */
export function stackPlaces(top, length, n, h) {
  const gap = h > 14 ? 2.5 : 0.6;
  const each = Math.min(h, (length - gap * (n - 1)) / n);
  const start = top + Math.max(0, (length - (n * each + (n - 1) * gap)) * (h > 14 ? 0.35 : 0.5));
  return Array.from({ length: n }, (_, i) => ({ y: start + i * (each + gap), h: each }));
}

/**
 * The bands of one site, from the body outward.
 * @param {number} cx
 * @param {number} top
 * @param {number} length
 * @param {Worn[]} bands
 * @param {number} w
 * @param {number} h the height of one band where there is room
 * @param {number} mid
 * @param {Palette} palette
 */
export function stack(cx, top, length, bands, w, h, mid, palette) {
  return stackPlaces(top, length, bands.length, h).map((at, i) => band(cx, at.y, w, at.h, bands[i], mid, palette)).join(
    '',
  );
}

/**
 * @param {string} path
 * @param {number} w
 * @param {boolean} [unseen] dashed: not seen
 */
export function limb(path, w, unseen = false) {
  if (unseen) return `<path class="limb-unseen" d="${path}" stroke-width="${short(w * 0.55)}"/>`;
  return (
    `<path class="limb-out" d="${path}" stroke-width="${short(w)}"/>` +
    `<path class="limb-in" d="${path}" stroke-width="${short(w * 0.62)}"/>`
  );
}

/**
 * Facing away the hind toe comes toward the keeper and the front toes look short; facing the keeper they fan out.
 * @param {number} cx
 * @param {number} y
 * @param {boolean} facesMe
 * @param {number} s scale
 * @param {number} out -1 where the leg stands left of the middle
 */
export function toes(cx, y, facesMe, s, out) {
  const to = (/** @type {number} */ dx, /** @type {number} */ dy) =>
    `M${short(cx)} ${short(y)}L${short(cx + dx * s)} ${short(y + dy * s)}`;
  return facesMe
    ? limb(to(-20, 20) + to(out, 25) + to(20, 20), 9 * s)
    : limb(to(-17, 5) + to(17, 5) + to(0, 19), 9 * s);
}

/**
 * The dash of a bare site.
 * @param {number} cx
 * @param {number} y
 * @param {number} s
 */
export const bareDash = (cx, y, s) => `<path class="nil" d="M${short(cx - 13 * s)} ${short(y)}h${short(26 * s)}"/>`;

/**
 * Four corners around the site that the next tap goes to.
 * @param {number} x
 * @param {number} y
 * @param {number} w
 * @param {number} h
 */
export function corners(x, y, w, h) {
  const k = 14;
  const path = `M${short(x)} ${short(y + k)}v${-k}h${k}M${short(x + w - k)} ${short(y)}h${k}v${k}` +
    `M${short(x + w)} ${short(y + h - k)}v${k}h${-k}M${short(x + k)} ${short(y + h)}h${-k}v${-k}`;
  return `<path class="aim" d="${path}"/>`;
}

/**
 * Two chevrons that point at a site from outside: its sight would settle most.
 * @param {number} x where the outer one starts
 * @param {number} y
 * @param {number} toward 1 points right, -1 left
 */
export const lookHere = (x, y, toward) =>
  `<path class="look" d="M${short(x)} ${short(y - 15)}l${toward * 16} 15l${-toward * 16} 15` +
  `M${short(x + toward * 13)} ${short(y - 15)}l${toward * 16} 15l${-toward * 16} 15"/>`;
