// @ts-check
// Where a bird usually is, in the prior of who it is. The twin of core/readings/places.py: both pass
// tests/published/place_cases.json.

const AS_ANYBODY = 0.3;

/**
 * By how much each bird is likelier to be the one, for being seen in this place: 1 for the flock on average and where
 * nothing is known. No bird is ruled out by a place.
 * @param {Record<string, number>[]} places  of each bird the shares of its sightings by place @param {number|null} place
 * @returns {number[]}
 */
export function placeFactors(places, place) {
  if (place === null) return places.map(() => 1);
  const shareOf = (/** @type {Record<string, number>} */ shares) => shares[String(place)] ?? 0;
  const known = places.filter((shares) => Object.keys(shares).length);
  const mean = known.reduce((sum, shares) => sum + shareOf(shares), 0) / (known.length || 1);
  if (!(mean > 0)) return places.map(() => 1);
  return places.map((shares) => (Object.keys(shares).length ? AS_ANYBODY + ((1 - AS_ANYBODY) * shareOf(shares)) / mean : 1));
}
