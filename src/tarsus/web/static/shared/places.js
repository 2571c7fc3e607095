// @ts-check
// Where a bird usually is, in the prior of who it is. The twin of core/readings/places.py: both pass
// tests/published/place_cases.json.

import { timeFactors } from './times-of-day.js';

/** @typedef {{places: Record<string, number>, times?: import('./pack.js').Bird['times']}} Usual */

const AS_ANYBODY = 0.3;

/** By how much each bird is likelier to be the one, for being seen in this place at this time.
 * @param {Usual[]} birds @param {number|null} place @param {Date} moment @param {string} [zone] the park's
 * @returns {number[]} */
export function usualFactors(birds, place, moment, zone) {
  const times = timeFactors(birds, moment, zone);
  return placeFactors(birds.map(({ places }) => places), place).map((factor, b) => factor * times[b]);
}

/**
 * By how much each bird is likelier to be the one, for being seen in this place: 1 for the flock on average and where
 * nothing is known. No bird is ruled out by a place.
 * @param {Record<string, number>[]} places  of each bird the shares of its sightings by place
 * @param {number|null} place
 * @returns {number[]}
 */
export function placeFactors(places, place) {
  if (place === null) return places.map(() => 1);
  const shareOf = (/** @type {Record<string, number>} */ shares) => shares[String(place)] ?? 0;
  const known = places.filter((shares) => Object.keys(shares).length);
  const mean = known.reduce((sum, shares) => sum + shareOf(shares), 0) / (known.length || 1);
  if (!(mean > 0)) return places.map(() => 1);
  return places.map((
    shares,
  ) => (Object.keys(shares).length ? AS_ANYBODY + ((1 - AS_ANYBODY) * shareOf(shares)) / mean : 1));
}
