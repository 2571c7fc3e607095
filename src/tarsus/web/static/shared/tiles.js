// @ts-check
// The order of the tiles of birds known by sight: not yet seen, the likely ones at the chosen place first. A tile that
// was tapped keeps its place, ticked, until the keeper turns to another place or species: nothing moves under the
// thumb.

/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {{turn: string, here: number[], elsewhere: number[]}} TileOrder */

/** The share of a bird's sightings made at a place; a bird without usual places may be anywhere.
 * @param {Bird} bird @param {number} place @returns {number} */
function shareAt(bird, place) {
  return bird.places[String(place)] || 0;
}

/** Whether a bird is likely at a place: it is seen nowhere more often, or nobody knows its places.
 * @param {Bird} bird @param {number|null} place @returns {boolean} */
export function likelyHere(bird, place) {
  const shares = Object.values(bird.places);
  if (place === null || !shares.length) return true;
  return shareAt(bird, place) > 0 && shareAt(bird, place) >= Math.max(...shares);
}

/**
 * Deal the tiles out anew for one place.
 * @param {Bird[]} birds       in the roll's order
 * @param {(id: number) => boolean} seen
 * @param {number|null} place  null where no place was chosen
 * @param {string} turn        names what the keeper turned to, such as lookalike and place
 * @returns {TileOrder}
 */
export function dealTiles(birds, seen, place, turn) {
  const left = birds.filter((bird) => !seen(bird.id));
  const here = left.filter((bird) => likelyHere(bird, place)), there = left.filter((bird) => !likelyHere(bird, place));
  if (place !== null) {
    const nearer = (/** @type {Bird} */ a, /** @type {Bird} */ b) => shareAt(b, place) - shareAt(a, place);
    here.sort(nearer); // sort is stable: equal shares keep the roll's order
    there.sort(nearer);
  }
  return { turn, here: here.map((bird) => bird.id), elsewhere: there.map((bird) => bird.id) };
}

/**
 * The tiles as they stand now: the same order as long as the keeper has not turned; a bird whose sighting was taken
 * back after the deal joins at the end.
 * @param {TileOrder|null} before @param {Bird[]} birds @param {(id: number) => boolean} seen
 * @param {number|null} place @param {string} turn @returns {TileOrder}
 */
export function tileOrder(before, birds, seen, place, turn) {
  if (!before || before.turn !== turn) return dealTiles(birds, seen, place, turn);
  const dealt = new Set([...before.here, ...before.elsewhere]);
  const back = birds.filter((bird) => !dealt.has(bird.id) && !seen(bird.id)).map((bird) => bird.id);
  return back.length ? { ...before, elsewhere: [...before.elsewhere, ...back] } : before;
}
