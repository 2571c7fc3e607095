// @ts-check
// Where a reading and a bird's marks part company: which band is missing, which was read as another, or whether left
// and right were mixed up. Said beside a name that is likely although it does not fit. The twin of
// core/words/misfit.py; tests/published/misfit_cases.json.

import { capital, inARow } from './numbers.js';
import { goesWith, OPEN_END } from './open-ends.js';
import { NOT_SURE, seenSites } from './sides.js';

/** @typedef {import('./pack.js').Marks} Marks */
/** @typedef {import('./pack.js').Reading} Reading */
/** @typedef {{say: string, ifSo: string}} Misfit */
/** Bands worn and not read, read and not worn, read further and not made out, sites read in another order; how many in
 * all.
 * @typedef {{gone: string[], extra: string[], further: number, turned: number, number: number}} Faults */

/** Bands of `a` that have no fellow in `b`. @param {string[]} a @param {string[]} b @returns {string[]} */
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
  const all = (/** @type {(site: string) => string} */ at) =>
    pairs(marks, reading, at).every(({ worn, read }) => goesWith(read, worn));
  return all((site) => site) || (reading.swap >= NOT_SURE && all(mirror));
}

/** @param {{worn: string[], read: string[]}[]} sites @returns {Faults} */
function faultsOf(sites) {
  /** @type {Faults} */
  const faults = { gone: [], extra: [], further: 0, turned: 0, number: 0 };
  for (const { worn, read } of sites.filter((one) => !goesWith(one.read, one.worn))) {
    const hidden = read.includes(OPEN_END) ? worn.length : read.filter((band) => band === '?').length,
      lacking = without(worn, read);
    const gone = lacking.slice(0, Math.max(0, lacking.length - hidden));
    const extra = without(read.filter((band) => band !== '?' && band !== OPEN_END), worn);
    faults.gone.push(...gone);
    faults.extra.push(...extra);
    const further = Math.max(0, read.filter((band) => band !== OPEN_END).length - worn.length - extra.length);
    faults.further += further;
    faults.turned += gone.length || extra.length || further ? 0 : 1;
  }
  faults.number = Math.max(faults.gone.length, faults.extra.length + faults.further) + faults.turned;
  return faults;
}

/** @param {Faults} faults @returns {Misfit} */
function said({ gone, extra, further }) {
  const its = `its ${inARow(gone)}`, several = gone.length > 1, are = several ? 'are' : 'is';
  if (gone.length && !extra.length)
    return { say: `${its} ${are} missing: lost, or overlooked.`, ifSo: `${its} ${are} lost or misread.` };
  let both = further ? 'its record has no further band there.' : 'the order was swapped.';
  if (gone.length && gone.length === extra.length)
    both = `${its} ${several ? 'were' : 'was'} read as ${inARow(extra)}.`;
  else if (extra.length) both = `its record has no ${inARow(extra)} there.`;
  return { say: both, ifSo: both };
}

/**
 * What of a bird's marks does not go with a reading, or null where all does. Left and right count as mixed up where
 * that leaves nothing to explain, or two bands fewer at least than the sides as read.
 * @param {Marks} marks @param {Reading} reading @returns {Misfit|null}
 */
export function explain(marks, reading) {
  if (fits(marks, reading)) return null;
  const straight = faultsOf(pairs(marks, reading, (site) => site)), mirrored = faultsOf(pairs(marks, reading, mirror));
  if (mirrored.number && mirrored.number + 1 >= straight.number) {
    const { say, ifSo } = said(straight);
    return { say: capital(say), ifSo };
  }
  const mixed = `the ${seenSites(reading).every(([site]) => site.endsWith('wing')) ? 'wings' : 'legs'} were swapped`;
  if (!mirrored.number) return { say: `Then ${mixed}.`, ifSo: `${mixed}.` };
  const { say, ifSo } = said(mirrored);
  return { say: `Then ${mixed}, and ${say}`, ifSo: `${mixed}, and ${ifSo}` };
}
