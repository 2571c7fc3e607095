// @ts-check
// Counts kept side by side: where two keepers counted differently both stand until somebody counts again. The twin of
// core/rounds/counting.py; tests/published/round_cases.json.

import { byTime } from './facts.js';

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {{told: Fact[], counted: number, at: string, by: number, differ: boolean}} Counts
 *   told: the counts that stand, in order of time · counted, at, by: the lowest of them, which speaks for a shortfall,
 * of
 *   equal ones the latest · differ: two keepers counted differently and nobody has counted again since */

/** The counts that stand of each look-alike group. A keeper's later count takes the place of the same keeper's earlier
 * one; where another keeper counted another number both stand, and the next count, whoever's, settles it.
 * @param {Iterable<Fact>} counts  of one roll call, in any order @returns {Map<string, Counts>} */
export function countsStanding(counts) {
  /** @type {Map<string, Fact[]>} */
  const standing = new Map();
  for (const count of [...counts].sort(byTime)) {
    const name = count.lookalike || '', before = standing.get(name) || [];
    standing.set(name, [...(differ(before) ? [] : before.filter(({ by }) => by !== count.by)), count]);
  }
  return new Map([...standing].sort(([a], [b]) => (a < b ? -1 : 1)).map(([name, told]) => [name, lowest(told)]));
}

/** @param {Fact[]} told @returns {boolean} */
const differ = (told) => new Set(told.map(({ counted }) => counted)).size > 1;

/** @param {Fact[]} told @returns {Counts} */
function lowest(told) {
  const low = told.reduce((least, one) => ((one.counted || 0) <= (least.counted || 0) ? one : least));
  return { told, counted: low.counted || 0, at: low.at, by: low.by, differ: differ(told) };
}
