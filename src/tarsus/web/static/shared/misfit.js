// @ts-check
// Where a reading and a bird's marks part company: which band is missing, which was read as another, or whether left
// and right were exchanged. Said beside a name that is likely although it does not fit.

import { goesWith, OPEN_END } from './open-ends.js';
import { NOT_SURE, seenSites } from './sides.js';

/** @typedef {import('./pack.js').Marks} Marks */
/** @typedef {import('./pack.js').Reading} Reading */
/** @typedef {{say: string, ifSo: string}} Misfit */

/** Bands of `a` that have no fellow in `b`; a band whose colour was not made out is fellow to any.
 * @param {string[]} a @param {string[]} b @returns {string[]} */
function without(a, b) {
  const left = [...b], gone = [];
  for (const band of a) {
    const at = left.indexOf(band);
    if (at >= 0) left.splice(at, 1); else gone.push(band);
  }
  return gone;
}

/** @param {string} site @returns {string} */
const mirror = (site) => (site.startsWith('left') ? site.replace('left', 'right') : site.replace('right', 'left'));

/** The sites that were seen, with what is worn and what was read there. @param {Marks} marks @param {Reading} reading
 * @param {(site: string) => string} at @returns {{worn: string[], read: string[]}[]} */
function pairs(marks, reading, at) {
  return seenSites(reading).map(([site, read]) => ({ worn: marks[at(site)] || [], read }));
}

/** Whether a bird's marks go with a reading, nothing having gone wrong; where the side is not sure, on either side.
 * @param {Marks} marks @param {Reading} reading @returns {boolean} */
export function fits(marks, reading) {
  const all = (/** @type {(site: string) => string} */ at) => pairs(marks, reading, at).every(({ worn, read }) => goesWith(read, worn));
  return all((site) => site) || (reading.swap >= NOT_SURE && all(mirror));
}

/** @param {string[]} bands @returns {string} */
const list = (bands) => bands.join(' and ');

/**
 * What of a bird's marks does not go with a reading, or null where all does.
 * @param {Marks} marks @param {Reading} reading @returns {Misfit|null}
 */
export function explain(marks, reading) {
  if (fits(marks, reading)) return null;
  const straight = pairs(marks, reading, (site) => site);
  if (pairs(marks, reading, mirror).every(({ worn, read }) => goesWith(read, worn))) {
    return { say: 'Then left and right were mixed up.', ifSo: 'left and right were mixed up.' };
  }
  const gone = straight.flatMap(({ worn, read }) => {
    const open = read.includes(OPEN_END) ? worn.length : read.filter((band) => band === '?').length;
    const lacking = without(worn, read);
    return lacking.slice(0, Math.max(0, lacking.length - open));
  });
  const extra = straight.flatMap(({ worn, read }) => without(read.filter((band) => band !== '?' && band !== OPEN_END), worn));
  if (gone.length && !extra.length) {
    const is = gone.length > 1 ? 'are' : 'is';
    return { say: `Its ${list(gone)} ${is} missing: lost, or overlooked.`, ifSo: `its ${list(gone)} ${is} lost or misread.` };
  }
  if (gone.length && gone.length === extra.length) {
    const was = gone.length > 1 ? 'were' : 'was';
    return { say: `Its ${list(gone)} ${was} read as ${list(extra)}.`, ifSo: `its ${list(gone)} ${was} read as ${list(extra)}.` };
  }
  if (extra.length) {
    return { say: `Its record has no ${list(extra)} there.`, ifSo: `its record has no ${list(extra)} there.` };
  }
  return { say: 'Its bands were read in another order.', ifSo: 'its bands were read in another order.' };
}
