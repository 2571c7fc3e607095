// @ts-check
// The light and the mud of a round: which it was, out of all that was read in it. The twin of core/readings/lights.py
// and of what core/readings/shared_state.py weighs; both pass tests/published/light_cases.json.

import { lookNext } from './looking.js';
import { candidatesOf, posterior } from './reading.js';

/** @typedef {import('./reading.js').PreparedFlock} PreparedFlock */
/** @typedef {import('./pack.js').Reading} Reading */
/** @typedef {'bright'|'dull'|'dusk'} Light */

/** @type {readonly Light[]} */
export const LIGHTS = ['bright', 'dull', 'dusk'];
export const STATES = [false, true].flatMap((mud) => LIGHTS.map((light) => ({ light, mud })));

/** @type {Record<Light, number>} */
const UNTOLD = { bright: 0.86, dull: 0.1, dusk: 0.04 };
const MUDDY = 0.06, TOLD = 0.94, LEAST = 1e-12;
/** A reading rarer than this nobody could have given. */
export const NEVER = 1e-300;

/** How likely each of STATES is before anything was read.
 * @param {string} [light] what was said, empty where nothing was
 * @param {boolean|null} [mud] @returns {number[]} */
export function priorOfStates(light = '', mud = null) {
  const muddy = mud === null ? MUDDY : mud ? TOLD : (1 - TOLD) / 2;
  return STATES.map((one) => {
    const lit = light ? (one.light === light ? TOLD : (1 - TOLD) / 2) : UNTOLD[one.light];
    return lit * (one.mud ? muddy : 1 - muddy);
  });
}

/** How likely each state is after readings that were all made in it. @param {ArrayLike<number>} prior
 * @param {ArrayLike<number>[]} evidence of each reading how probable it was in each state @returns {number[]} */
export function sharesOfStates(prior, evidence) {
  const log = Array.from(prior, (share) => Math.log(Math.max(share, NEVER)));
  for (const told of evidence) {
    const most = Math.max(...Array.from(told));
    if (most > 0) { for (let s = 0; s < log.length; s += 1) log[s] += Math.log(Math.max(told[s] / most, LEAST)); }
  }
  const top = Math.max(...log), shares = log.map((one) => Math.exp(one - top));
  const whole = shares.reduce((sum, one) => sum + one, 0);
  return shares.map((one) => one / whole);
}

/** How probable a reading is in each state, whichever bird it is of. @param {PreparedFlock[]} flocks one a state
 * @param {Reading} reading @param {{strangers?: number}} given @returns {number[]} */
export const evidenceOf = (flocks, reading, given) => flocks.map((flock) => posterior(flock, reading, given).evidence);

/**
 * Who it may be, whatever the light: the answers of all states, each weighed by how likely it is.
 * @param {PreparedFlock[]} flocks one a state @param {ArrayLike<number>} prior
 * @param {ArrayLike<number>[]} earlier evidence of the round's other readings @param {Reading} reading
 * @param {{strangers?: number, out?: Set<number>, factors?: number[]}} [given]
 * @returns {ReturnType<typeof import('./reading.js').identify> & {shares: number[]}}
 */
export function identifyInStates(flocks, prior, earlier, reading, given = {}) {
  const shares = sharesOfStates(prior, [...earlier, evidenceOf(flocks, reading, { strangers: given.strangers })]);
  const weights = flocks.map((flock) => posterior(flock, reading, given)),
    likeliest = shares.indexOf(Math.max(...shares));
  /** @type {Map<number, number>} */
  const chances = new Map();
  let noneOfThese = 0;
  weights.forEach((weighed, s) => {
    noneOfThese += shares[s] * weighed.noneOfThese;
    for (const { id, chance } of candidatesOf(flocks[s], weighed))
      chances.set(id, (chances.get(id) || 0) + shares[s] * chance);
  });
  const candidates = [...chances].map(([id, chance]) => ({ id, chance })).filter(({ chance }) => chance >= 1e-6).sort((
    a,
    b,
  ) => b.chance - a.chance);
  return { candidates, noneOfThese, lookNext: lookNext(flocks[likeliest], reading, weights[likeliest]), shares };
}
