// @ts-check
// A colour as colour-deficient eyes see it, and how far two colours look apart.

import { paletteOf } from './palette.js';

/** @typedef {'usual'|'protan'|'deutan'|'tritan'} Eyes */
/** @typedef {[number, number, number]} Three */

/** What linear RGB turns into for eyes that lack one kind of cone altogether: Machado, Oliveira & Fernandes 2009,
 * IEEE TVCG 15(6):1291-1298, severity 1.0. @type {Record<Exclude<Eyes, 'usual'>, Three[]>} */
export const MATRICES = {
  protan: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  deutan: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
  tritan: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
};
/** CIEDE2000 under which two bands are told as drawing together. Ours: no published limit was found. */
export const TOGETHER = 12;
/** sRGB to XYZ under D65 (IEC 61966-2-1), and the white of D65. @type {Three[]} */
const XYZ = [[0.4123908, 0.3575843, 0.1804808], [0.2126390, 0.7151687, 0.0721923], [0.0193308, 0.1191948, 0.9505322]];
const WHITE = [0.9504559, 1, 1.0890578];

/** @param {string} hex @returns {Three} */
const linear = (hex) => /** @type {Three} */ ([1, 3, 5].map((at) => {
  const part = parseInt(hex.slice(at, at + 2), 16) / 255;
  return part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
}));

/** @param {number} part @returns {string} two hex digits */
function byte(part) {
  const held = Math.min(1, Math.max(0, part)),
    seen = held <= 0.0031308 ? 12.92 * held : 1.055 * held ** (1 / 2.4) - 0.055;
  return Math.round(255 * seen).toString(16).padStart(2, '0');
}

/** @param {Three[]} matrix @param {number[]} v @returns {Three} */
const times = (matrix, v) => /** @type {Three} */ (matrix.map((row) => row[0] * v[0] + row[1] * v[1] + row[2] * v[2]));

/** One colour as these eyes see it; what falls out of sRGB is brought back channel by channel.
 * @param {string} hex @param {Eyes} eyes @returns {string} */
export const seenColour = (hex, eyes) =>
  eyes === 'usual' ? hex : `#${times(MATRICES[eyes], linear(hex)).map(byte).join('')}`;

/** The park's colours as these eyes see them, under the same names and letters.
 * @param {import('./palette.js').Palette} palette @param {Eyes} eyes @returns {import('./palette.js').Palette} */
export const seenPalette = (palette, eyes) =>
  paletteOf(
    Object.fromEntries([...palette].map(([name, { hex }]) => [name, seenColour(hex, eyes)])),
    Object.fromEntries([...palette].map(([name, { letter }]) => [name, letter])),
  );

/** L*, a*, b* of an sRGB colour under D65. @param {string} hex @returns {Three} */
export function lab(hex) {
  const [x, y, z] = times(XYZ, linear(hex)).map((part, i) => {
    const share = part / WHITE[i];
    return share > 216 / 24389 ? Math.cbrt(share) : ((24389 / 27) * share + 16) / 116;
  });
  return [116 * y - 16, 500 * (x - y), 200 * (y - z)];
}

const DEG = Math.PI / 180;

/** CIEDE2000 of two colours: Sharma, Wu & Dalal 2005, Color Res. Appl. 30:21-30, eq. 2 to 22.
 * @param {Three} one @param {Three} other @returns {number} */
export function labDifference([l1, a1, b1], [l2, a2, b2]) {
  const c7 = ((Math.hypot(a1, b1) + Math.hypot(a2, b2)) / 2) ** 7, g = 1.5 - 0.5 * Math.sqrt(c7 / (c7 + 25 ** 7));
  const [c1, c2] = [Math.hypot(a1 * g, b1), Math.hypot(a2 * g, b2)];
  const hue = (/** @type {number} */ a, /** @type {number} */ b) => (a || b ? (Math.atan2(b, a) / DEG + 360) % 360 : 0);
  const [h1, h2] = [hue(a1 * g, b1), hue(a2 * g, b2)], grey = c1 * c2 === 0;
  const turn = grey ? 0 : h2 - h1 > 180 ? h2 - h1 - 360 : h2 - h1 < -180 ? h2 - h1 + 360 : h2 - h1;
  const dH = 2 * Math.sqrt(c1 * c2) * Math.sin((turn / 2) * DEG);
  const l = (l1 + l2) / 2, c = (c1 + c2) / 2;
  const h = grey ? h1 + h2 : Math.abs(h1 - h2) <= 180 ? (h1 + h2) / 2 : (h1 + h2 + (h1 + h2 < 360 ? 360 : -360)) / 2;
  const cos = (/** @type {number} */ degrees) => Math.cos(degrees * DEG);
  const t = 1 - 0.17 * cos(h - 30) + 0.24 * cos(2 * h) + 0.32 * cos(3 * h + 6) - 0.2 * cos(4 * h - 63);
  const sl = 1 + (0.015 * (l - 50) ** 2) / Math.sqrt(20 + (l - 50) ** 2), sc = 1 + 0.045 * c, sh = 1 + 0.015 * c * t;
  const rt = -2 * Math.sqrt(c ** 7 / (c ** 7 + 25 ** 7)) * Math.sin(60 * DEG * Math.exp(-(((h - 275) / 25) ** 2)));
  const [x, y, z] = [(l2 - l1) / sl, (c2 - c1) / sc, dH / sh];
  return Math.sqrt(x * x + y * y + z * z + rt * y * z);
}

/** Whether two colours draw together for these eyes. @param {string} one @param {string} other @param {Eyes} eyes
 * @returns {boolean} */
export const drawTogether = (one, other, eyes) =>
  labDifference(lab(seenColour(one, eyes)), lab(seenColour(other, eyes))) < TOGETHER;
