// @ts-check
// Where to look for a bird: the shares of its sightings by place, the places already looked at in vain taken out.

/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {import('./pack.js').Named} Named */

const MOST = 2;

/**
 * Where a bird may be, each place that was not looked at in vain with its chance; what is left is elsewhere.
 * @param {Pick<Bird, 'places'>} bird @param {Set<number>} lookedAt @returns {Record<string, number>}
 */
export function leftPlaces({ places }, lookedAt) {
  const known = Object.entries(places).filter(([id]) => !lookedAt.has(Number(id)));
  const elsewhere = Math.max(0, 1 - Object.values(places).reduce((sum, share) => sum + share, 0));
  const left = known.reduce((sum, [, share]) => sum + share, 0) + elsewhere;
  return left ? Object.fromEntries(known.map(([id, share]) => [id, share / left])) : {};
}

/**
 * The likeliest places, then everywhere else together.
 * @param {Bird} bird @param {Named[]} places @param {Set<number>} lookedAt
 * @returns {{id: number|null, name: string, share: number}[]}
 */
export function wherePlaces(bird, places, lookedAt) {
  const total = Object.values(bird.places).reduce((sum, share) => sum + share, 0);
  const known = places.filter(({ id }) => bird.places[String(id)] && !lookedAt.has(id))
    .map(({ id, name }) => ({ id, name, share: bird.places[String(id)] })).sort((a, b) => b.share - a.share);
  const elsewhere = Math.max(0, 1 - total) + known.slice(MOST).reduce((sum, one) => sum + one.share, 0);
  const left = known.reduce((sum, one) => sum + one.share, 0) + Math.max(0, 1 - total);
  if (!left) return [{ id: null, name: 'elsewhere', share: 1 }];
  const shown = known.slice(0, MOST).map((one) => ({ ...one, share: one.share / left }));
  return elsewhere > 1e-9 ? [...shown, { id: null, name: 'elsewhere', share: elsewhere / left }] : shown;
}
