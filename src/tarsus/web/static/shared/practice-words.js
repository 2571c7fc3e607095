// @ts-check
// What practice says of how ready somebody is.

import { capital, percent } from './numbers.js';
import { READY_FROM } from './practice.js';

/** So few answers say nothing yet. */
export const FEWEST = 10;

/** @param {{right: number, of: number, low: number, high: number, ready: boolean}} found @returns {string} */
export function readyWords({ right, of, low, high, ready }) {
  if (of < FEWEST) return of ? `${right} of ${of} names right: too few to say more.` : 'No bird named yet.';
  return `${right} of ${of} names right: between ${percent(low)} and ${percent(high)}. ${
    ready ? 'Ready for this exhibit.' : `Not yet ready: that is from a lower end of ${percent(READY_FROM)} on.`
  }`;
}

/** Two colours that look alike to somebody, said to that person only.
 * @param {import('./practice-sight.js').Alike} found @returns {string} */
export const alikeWords = ({ pair: [one, other], times, of }) =>
  `${capital(one)} and ${other} bands look alike to you: taken for each other ${times} of ${of} times.`;

/** What somebody's practice on this phone reaches. @param {boolean} shares @returns {string} */
export const ownWords = (shares) =>
  (shares
    ? 'Shared: whoever leads sees *ready* or *not yet*, no number and no name taken for another. '
      + 'Your latest 20 answers help to weigh your readings.'
    : 'Your answers stay on this phone. Nobody else sees them.').replaceAll('*', '');

/** Eyes to which such colours look alike, as the form of the settings calls them. @type {Record<string, string>} */
export const EYES = { protan: 'weak or no red', deutan: 'weak or no green', tritan: 'weak or no blue' };
