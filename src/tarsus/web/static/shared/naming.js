// @ts-check
// How a bird was named, and whether that clears it. The twin of core/rounds/naming.py;
// tests/published/round_cases.json.

import { DOUBTFUL_BELOW } from './certainty.js';

/** @typedef {import('./pack.js').Fact} Fact */

/** Whether a sighting makes its bird a seen one: named by sight, or by a reading that was sure enough.
 * @param {Fact} fact @returns {boolean} */
export function clears(fact) {
  if (fact.bird === null || fact.bird === undefined) return false;
  return fact.how === 'by sight' || (fact.how === 'by reading' && chanceOf(fact) >= DOUBTFUL_BELOW);
}

/** The chance with which a name was accepted; one known by sight counts in full. @param {Fact} fact
 * @returns {number} */
export function chanceOf(fact) {
  if (fact.how === 'by sight') return 1;
  return (fact.candidates || []).find(({ bird }) => bird === fact.bird)?.chance ?? 1;
}
