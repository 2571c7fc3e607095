// @ts-check
// Where to look next: the site whose sight is expected to settle most. The twin of core/readings/looking.py.

import { NOT_MADE_OUT, otherwiseSiteChance } from './misreading.js';
import { OPEN_END } from './open-ends.js';

/** @typedef {import('./reading.js').PreparedFlock} PreparedFlock */
/** @typedef {import('./reading.js').Weights} Weights */
/** @typedef {import('./pack.js').Reading} Reading */
/** One kind of bird as a look at a site tells them apart: `mass` of the posterior wear stack `here` there and `there`
 * on the mirror, `straight` of it with the sides read right.
 * @typedef {{here: number, there: number, mass: number, straight: number}} Kind */

const OUTCOMES = 256;
const ALIVE = 1e-9;
const WORTH_A_LOOK = 1e-6;

/** The site whose sight would settle most, or null. @param {PreparedFlock} flock @param {Reading} reading
 * @param {Weights} weights
 * @returns {string|null} */
export function lookNext(flock, reading, weights) {
  let best = null, most = WORTH_A_LOOK;
  for (const site of openSites(flock, reading)) {
    const told = expectedInformation(flock, weights, site);
    if (told > most + 1e-12) [best, most] = [site, told];
  }
  return best;
}

/** Sites that a look could add something about. @param {PreparedFlock} flock @param {Reading} reading
 * @returns {string[]} */
export function openSites(flock, reading) {
  return flock.sites.filter(({ site, mirror, worn }) => {
    const read = reading[site];
    return (!read || read.includes(NOT_MADE_OUT) || read.includes(OPEN_END)) && (worn || flock.sites[mirror].worn);
  }).map(({ site }) => site);
}

/** Bits that the sight of one site is expected to tell about who it is. @param {PreparedFlock} flock
 * @param {Weights} weights
 * @param {string} site @returns {number} */
export function expectedInformation(flock, weights, site) {
  const at = flock.sites.find((other) => other.site === site);
  if (!at) return 0;
  const here = at.codes, there = flock.sites[at.mirror].codes;
  const outcomes = likelyOutcomes(flock, weights, here, there);
  const tables = outcomes.map((code) => flock.table(flock.stacks[code]));
  const kinds = kindsOf(flock, weights, here, there);
  const shown = new Float64Array(outcomes.length + 1);
  let unsure = 0;
  for (const kind of kinds) {
    const crossed = 1 - kind.straight;
    let entropy = 0, rest = 1;
    for (let o = 0; o < tables.length; o += 1) {
      const chance = kind.straight * tables[o][kind.here] + crossed * tables[o][kind.there];
      entropy += surprise(chance);
      rest -= chance;
      shown[o] += kind.mass * chance;
    }
    rest = Math.max(rest, 0);
    shown[outcomes.length] += kind.mass * rest;
    unsure += kind.mass * (entropy + surprise(rest));
  }
  unsure += stranger(flock, weights, outcomes, tables, here, there, shown);
  return shown.reduce((sum, chance) => sum + surprise(chance), 0) - unsure;
}

/** Adds what a stranger would show; answers its share of the uncertainty about the outcome.
 * @param {PreparedFlock} flock @param {Weights} weights @param {number[]} outcomes @param {Float64Array[]} tables
 * @param {Int32Array} here @param {Int32Array} there @param {Float64Array} shown @returns {number} */
function stranger(flock, weights, outcomes, tables, here, there, shown) {
  if (!(weights.noneOfThese > 0)) return 0;
  let entropy = 0, rest = weights.noneOfThese;
  outcomes.forEach((code, o) => {
    let mass = weights.otherwise * otherwiseSiteChance(flock.misreading, flock.stacks[code]);
    for (let h = flock.ids.length; h < here.length; h += 1) {
      mass += weights.straight[h] * tables[o][here[h]] + weights.crossed[h] * tables[o][there[h]];
    }
    entropy += surprise(mass / weights.noneOfThese);
    rest -= mass;
    shown[o] += mass;
  });
  rest = Math.max(rest, 0);
  shown[outcomes.length] += rest;
  return weights.noneOfThese * (entropy + surprise(rest / weights.noneOfThese));
}

/** @param {number} chance @returns {number} bits */
const surprise = (chance) => (chance > 0 ? -chance * Math.log2(chance) : 0);

/** The stacks that a look would likely show. @param {PreparedFlock} flock @param {Weights} weights
 * @param {Int32Array} here
 * @param {Int32Array} there @returns {number[]} */
function likelyOutcomes(flock, weights, here, there) {
  const shown = new Float64Array(flock.stacks.length);
  for (let b = 0; b < flock.ids.length; b += 1) {
    shown[here[b]] += weights.straight[b];
    shown[there[b]] += weights.crossed[b];
  }
  const order = Array.from(shown.keys()).filter((code) => shown[code] > ALIVE).sort((a, b) => shown[b] - shown[a]);
  return order.length ? order.slice(0, OUTCOMES) : [0];
}

/** Birds still in question that a look at this site cannot tell apart, together. @param {PreparedFlock} flock
 * @param {Weights} weights @param {Int32Array} here @param {Int32Array} there @returns {Kind[]} */
function kindsOf(flock, weights, here, there) {
  /** @type {Map<number, Kind[]>} */
  const found = new Map();
  /** @type {Kind[]} */
  const kinds = [];
  for (let b = 0; b < flock.ids.length; b += 1) {
    const mass = weights.straight[b] + weights.crossed[b];
    if (!(mass > ALIVE)) continue;
    const straight = weights.straight[b] / mass;
    const key = here[b] * flock.stacks.length + there[b];
    const alike = found.get(key) ?? [];
    const kind = alike.find((other) => Math.abs(other.straight - straight) < 1e-12);
    if (kind) kind.mass += mass;
    else {
      alike.push({ here: here[b], there: there[b], mass, straight });
      kinds.push(alike[alike.length - 1]);
      found.set(key, alike);
    }
  }
  return kinds;
}
