// @ts-check
// What practice says of how ready somebody is.

import { capital, percent } from './numbers.js';

/** So few answers say nothing yet. */
export const FEWEST = 10;

/** @param {{right: number, of: number, low: number, high: number}} found @returns {string} */
export function readyWords({ right, of, low, high }) {
  if (of < FEWEST) return of ? `${right} of ${of} names right: too few to say more.` : 'No bird named yet.';
  return `${right} of ${of} names right: between ${percent(low)} and ${percent(high)}.`;
}

/** Two colours that look alike to somebody, said to that person only. @param {import('./practice-sight.js').Alike} found @returns {string} */
export const alikeWords = ({ pair: [one, other], times, of }) => `${capital(one)} and ${other} bands look alike to you: taken for each other ${times} of ${of} times.`;
