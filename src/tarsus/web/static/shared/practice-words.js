// @ts-check
// What practice says of how ready somebody is.

import { percent } from './numbers.js';

/** So few answers say nothing yet. */
export const FEWEST = 10;

/** @param {{right: number, of: number, low: number, high: number}} found @returns {string} */
export function readyWords({ right, of, low, high }) {
  if (of < FEWEST) return of ? `${right} of ${of} names right: too few to say more.` : 'No bird named yet.';
  return `${right} of ${of} names right: between ${percent(low)} and ${percent(high)}.`;
}
