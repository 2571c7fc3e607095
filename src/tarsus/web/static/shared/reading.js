// @ts-check
// Who is it: weigh every bird of a flock, and none of these, by what was read. The twin of
// core/readings/identification.py: both pass tests/published/identification_cases.json to 1e-9.
// Decision 0007.

import { lookNext } from './looking.js';
import { plumageFactors } from './plumage.js';
import { ANY_COLOUR, METAL, misreadingOf, otherwiseSiteChance, stackChances, wornCodes } from './misreading.js';

/** @typedef {import('./pack.js').Reader} Reader */
/** @typedef {import('./pack.js').Reading} Reading */
/** @typedef {import('./pack.js').Marks} Marks */
/** @typedef {{id: number, marks: Marks, prior?: number, young?: number}} Worn */
/** @typedef {{site: string, mirror: number, codes: Int32Array, worn: boolean}} SiteCodes   codes: which stack, by bird
 */

/**
 * A flock made ready for one observer's readings, once a pack.
 * @typedef {object} PreparedFlock
 * @property {number[]} ids
 * @property {Float64Array} priors
 * @property {(number|null)[]} young   chance that somebody says it is in young plumage
 * @property {Float64Array} shares     of strangers, by the layouts that follow the birds in `codes`
 * @property {SiteCodes[]} sites
 * @property {string[][]} stacks       the distinct stacks, bare first
 * @property {import('./misreading.js').Misreading} misreading
 * @property {(read: string[]) => Float64Array} table   chance of reading so on one site, by stack
 */

/**
 * The posterior split by whether the sides were read right or mixed up, for birds and then layouts of strangers.
 * `evidence`: how probable the reading was before it was made.
 * @typedef {{straight: Float64Array, crossed: Float64Array, otherwise: number, noneOfThese: number, evidence: number}}
 * Weights
 */

export const SITES = ['left tibia', 'left leg', 'left wing', 'right tibia', 'right leg', 'right wing'];

const AS_THE_FLOCK = 0.5, UNBANDED = 0.25, OTHERWISE = 0.25;
const REMEMBERED = 4096;
const NEVER = 1e-300;

/** Key of a stack; no colour's name has a line break. @param {string[]} bands @returns {string} */
const keyOf = (bands) => bands.join('\n');

/** @param {Worn[]} birds @param {Reader} reader @returns {PreparedFlock} */
export function prepareFlock(birds, reader) {
  const misreading = misreadingOf(reader);
  const unknown = strangerMarks(birds);
  const marks = [...birds.map((bird) => bird.marks), ...unknown.map((layout) => layout.marks)];
  /** @type {string[][]} */
  const stacks = [[]];
  const known = new Map([[keyOf([]), 0]]);
  const sites = SITES.map((site, at) => {
    const codes = Int32Array.from(marks, (worn) => codeOf(worn[site] ?? [], stacks, known));
    return { site, mirror: (at + 3) % 6, codes, worn: codes.subarray(0, birds.length).some((code) => code > 0) };
  });
  const worn = stacks.map((bands) => wornCodes(misreading, bands));
  /** @type {Map<string, Float64Array>} */
  const tables = new Map();
  return {
    ids: birds.map((bird) => bird.id),
    priors: Float64Array.from(birds, (bird) => bird.prior ?? 1),
    young: birds.map((bird) => bird.young ?? null),
    shares: Float64Array.from(unknown, (layout) => layout.share),
    sites,
    stacks,
    misreading,
    table(read) {
      const key = keyOf(read);
      const made = tables.get(key) ?? stackChances(misreading, read, worn);
      if (tables.size >= REMEMBERED) tables.clear();
      tables.set(key, made);
      return made;
    },
  };
}

/** @param {string[]} bands @param {string[][]} stacks @param {Map<string, number>} known @returns {number} */
function codeOf(bands, stacks, known) {
  const key = keyOf(bands);
  const code = known.get(key);
  if (code !== undefined) return code;
  known.set(key, stacks.length);
  return stacks.push(bands) - 1;
}

/** What strangers wear: the flock's layouts with every colour left open, and nothing at all.
 * @param {Worn[]} birds @returns {{marks: Marks, share: number}[]} */
function strangerMarks(birds) {
  /** @type {Map<string, {marks: Marks, count: number}>} */
  const layouts = new Map();
  for (const marks of birds.length ? birds.map((bird) => bird.marks) : [/** @type {Marks} */ ({})]) {
    /** @type {Marks} */
    const open = {};
    for (const site of SITES) {
      if (marks[site]?.length) open[site] = marks[site].map((band) => (band === METAL ? METAL : ANY_COLOUR));
    }
    const key = JSON.stringify(open);
    const layout = layouts.get(key) ?? { marks: open, count: 0 };
    layout.count += 1;
    layouts.set(key, layout);
  }
  const all = Math.max(birds.length, 1);
  const banded = [...layouts.values()].map(({ marks, count }) => ({ marks, share: (AS_THE_FLOCK * count) / all }));
  return [...banded, { marks: {}, share: UNBANDED }];
}

/**
 * Weigh every bird by how well it explains one reading; sites that are null or missing carry no evidence, and its own
 * `swap`, where it tells one, stands in place of the reader's.
 * @param {PreparedFlock} flock @param {Reading} reading
 * @param {{strangers?: number, out?: Set<number>, factors?: number[]}} [given]  out: birds that it cannot be; factors
 * on
 *   each bird's prior weight, in the order of the flock
 * @returns {Weights} sums to 1
 */
export function posterior(flock, reading, { strangers = 0.001, out, factors } = {}) {
  const seenSo = reading.plumage
    ? plumageFactors(flock.young, reading.plumage).map((factor, b) => factor * (factors?.[b] ?? 1))
    : factors;
  const { straight, crossed, strange } = priorWeights(
    flock,
    strangers,
    reading.swap ?? flock.misreading.swap,
    out,
    seenSo,
  );
  let otherwise = strange * OTHERWISE;
  for (const { site, mirror, codes } of flock.sites) {
    const read = reading[site];
    if (!read) continue;
    const table = flock.table(read), across = flock.sites[mirror].codes;
    for (let h = 0; h < straight.length; h += 1) {
      straight[h] *= table[codes[h]];
      crossed[h] *= table[across[h]];
    }
    if (otherwise > 0) otherwise *= otherwiseSiteChance(flock.misreading, read);
  }
  let birds = 0, none = otherwise;
  for (let h = 0; h < straight.length; h += 1) {
    if (h < flock.ids.length) birds += straight[h] + crossed[h]; else none += straight[h] + crossed[h];
  }
  const total = birds + none;
  // A reading that nobody could have given is of none of these: the limit of ever rarer strangers.
  if (!(total > NEVER)) return { straight, crossed, otherwise: 1, noneOfThese: 1, evidence: 0 };
  for (let h = 0; h < straight.length; h += 1) {
    straight[h] /= total;
    crossed[h] /= total;
  }
  return { straight, crossed, otherwise: otherwise / total, noneOfThese: none / total, evidence: total };
}

/** @param {PreparedFlock} flock @param {number} strangers @param {number} swap @param {Set<number>} [out]
 * @param {number[]} [factors] */
function priorWeights({ ids, priors, shares }, strangers, swap, out, factors) {
  const birds = out?.size || factors
    ? priors.map((prior, b) => (out?.has(ids[b]) ? 0 : prior * (factors?.[b] ?? 1)))
    : priors;
  const sum = birds.reduce((whole, prior) => whole + prior, 0);
  const strange = sum > 0 ? strangers : 1;
  const weights = new Float64Array(ids.length + shares.length);
  birds.forEach((prior, b) => {
    weights[b] = sum > 0 ? ((1 - strange) * prior) / sum : 0;
  });
  shares.forEach((share, k) => {
    weights[ids.length + k] = strange * share;
  });
  return {
    straight: weights.map((weight) => weight * (1 - swap)),
    crossed: weights.map((weight) => weight * swap),
    strange,
  };
}

/**
 * Who it may be, the likeliest first, and where to look next.
 * @param {PreparedFlock} flock @param {Reading} reading
 * @param {{strangers?: number, out?: Set<number>, factors?: number[]}} [given]
 * @returns {{candidates: {id: number, chance: number}[], noneOfThese: number, lookNext: string|null}}
 */
export function identify(flock, reading, given = {}) {
  const weights = posterior(flock, reading, given);
  return {
    candidates: candidatesOf(flock, weights),
    noneOfThese: weights.noneOfThese,
    lookNext: lookNext(flock, reading, weights),
  };
}

/** The birds of a flock with their chances, the likeliest first. @param {PreparedFlock} flock @param {Weights} weights
 * @returns {{id: number, chance: number}[]} */
export function candidatesOf(flock, weights) {
  const candidates = [];
  for (let b = 0; b < flock.ids.length; b += 1) {
    const chance = weights.straight[b] + weights.crossed[b];
    if (chance >= 1e-6) candidates.push({ id: flock.ids[b], chance });
  }
  return candidates.sort((a, b) => b.chance - a.chance);
}
