// @ts-check
// When a picture was taken, and whether it tells of now: a gallery holds last year's birds beside this morning's.

import { APART_MINUTES } from './witnesses.js';

/** @typedef {{at: number|null, fresh: boolean, say: string}} Taken   at: milliseconds; say: empty where it is of now */

/** A file that the camera wrote just now, where the picture itself does not say when. */
const JUST_NOW_MINUTES = 10;
/** A camera's clock may be ahead by so much. */
const AHEAD_MINUTES = 5;
/** The time stands in the first segments of a file. */
export const HEAD_BYTES = 256 * 1024;
const MINUTE = 60000;
const EXIF_POINTER = 0x8769, TAKEN = 0x9003, OFFSET = 0x9011;

/**
 * The time that a JPEG says it was taken at: Exif's DateTimeOriginal, with its offset where it has one.
 * @param {Uint8Array} bytes  the head of the file
 * @returns {string|null} as Date.parse reads it; local where no offset stands
 */
export function exifTaken(bytes) {
  try {
    const tiff = tiffOf(bytes);
    if (!tiff) return null;
    const little = tiff.getUint16(0) === 0x4949;
    const pointer = entryOf(tiff, tiff.getUint32(4, little), EXIF_POINTER, little);
    if (pointer === null) return null;
    const own = tiff.getUint32(pointer + 8, little),
      taken = textOf(tiff, own, TAKEN, little),
      offset = textOf(tiff, own, OFFSET, little);
    const found = /^(\d{4}):(\d\d):(\d\d) (\d\d:\d\d:\d\d)$/.exec(taken);
    if (!found) return null;
    return `${found[1]}-${found[2]}-${found[3]}T${found[4]}${/^[+-]\d\d:\d\d$/.test(offset) ? offset : ''}`;
  } catch {
    return null; // cut short or written wrongly: then it does not say when
  }
}

/** @param {Uint8Array} bytes @returns {DataView|null} the TIFF part of a JPEG's Exif segment */
function tiffOf(bytes) {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes.length < 4 || view.getUint16(0) !== 0xffd8) return null;
  for (let at = 2; at + 10 < bytes.length && bytes[at] === 0xff && bytes[at + 1] !== 0xda;) {
    const length = view.getUint16(at + 2);
    if (bytes[at + 1] === 0xe1 && view.getUint32(at + 4) === 0x45786966) {
      return new DataView(bytes.buffer, bytes.byteOffset + at + 10, Math.min(length - 8, bytes.length - at - 10));
    }
    at += 2 + length;
  }
  return null;
}

/** Where an entry of a directory stands. @param {DataView} tiff @param {number} at @param {number} tag
 * @param {boolean} little @returns {number|null} */
function entryOf(tiff, at, tag, little) {
  const entries = tiff.getUint16(at, little);
  for (let n = 0; n < entries; n += 1) if (tiff.getUint16(at + 2 + 12 * n, little) === tag) return at + 2 + 12 * n;
  return null;
}

/** @param {DataView} tiff @param {number} directory @param {number} tag @param {boolean} little @returns {string} */
function textOf(tiff, directory, tag, little) {
  const entry = entryOf(tiff, directory, tag, little);
  if (entry === null) return '';
  const length = tiff.getUint32(entry + 4, little), at = length > 4 ? tiff.getUint32(entry + 8, little) : entry + 8;
  return String.fromCharCode(...Array.from({ length }, (_, n) => tiff.getUint8(at + n))).replace(/\0.*$/, '').trim();
}

/**
 * Whether a picture tells of now.
 * @param {{exif: string|null, modified: number, camera: boolean, now: number}} file  camera: the phone was asked to
 * take it
 * @returns {Taken}
 */
export function whenTaken({ exif, modified, camera, now }) {
  const told = exif === null ? NaN : Date.parse(exif);
  const within = (/** @type {number} */ at, /** @type {number} */ minutes) =>
    now - at <= minutes * MINUTE && at - now <= AHEAD_MINUTES * MINUTE;
  if (Number.isNaN(told)) {
    if (camera && within(modified, JUST_NOW_MINUTES)) return { at: modified, fresh: true, say: '' };
    return { at: null, fresh: false, say: 'The picture does not say when it was taken: it clears nobody now.' };
  }
  if (within(told, APART_MINUTES)) return { at: told, fresh: true, say: '' };
  const when = new Date(told).toLocaleDateString('en-GB', { day: 'numeric', month: 'long', year: 'numeric' });
  return { at: told, fresh: false, say: `Taken on ${when}: it tells who was there then, and clears nobody now.` };
}
