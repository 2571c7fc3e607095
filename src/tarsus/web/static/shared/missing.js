// @ts-check
// A count below the roll: who may be the missing ones. The twin of core/presence/short_count.py, by the same cases
// (tests/published/short_count_cases.json; docs/science/presence.md, eq. 12). It tells where to look first, clears
// nobody.

/** @typedef {import('./pack.js').Bird} Bird */

/** Chance that a counter passes over a bird that is there; the least chance of being gone in a short count. */
export const OVERLOOKED = 0.01, NEVER_RULED_OUT = 1e-4;

/** The chance that 0, 1, … `most` of the birds are gone. @param {number[]} chances @param {number} most
 * @returns {number[]} */
function howManyGone(chances, most) {
  const number = [1, ...new Array(most).fill(0)];
  for (const gone of chances) {
    for (let k = most; k > 0; k -= 1) number[k] = number[k] * (1 - gone) + number[k - 1] * gone;
    number[0] *= 1 - gone;
  }
  return number;
}

/** The chance of k heads in n tosses. @param {number} k @param {number} n @param {number} heads @returns {number} */
function binomial(k, n, heads) {
  let ways = 1;
  for (let i = 0; i < k; i += 1) ways = (ways * (n - i)) / (i + 1);
  return ways * heads ** k * (1 - heads) ** (n - k);
}

/**
 * Who is missing when a count is short.
 * @param {number[]} gone  chance that each bird on the roll has gone @param {number} missing  from 0 to the whole roll
 * @returns {{miscount: number, among: number[]}} `among`: each bird's chance to be one of the missing, summing to
 *   `missing` · `miscount`: the chance that nobody has gone and the count is wrong
 */
export function amongWhom(gone, missing) {
  const m = Math.min(missing, gone.length);
  if (m < 1) return { miscount: 0, among: gone.map(() => 0) };
  const chances = gone.map((one) => Math.min(1 - NEVER_RULED_OUT, Math.max(NEVER_RULED_OUT, one)));
  const number = howManyGone(chances, m);
  const weight = number.map((of, k) => of * binomial(m - k, gone.length - k, OVERLOOKED));
  return {
    miscount: weight[0] / weight.reduce((sum, one) => sum + one, 0),
    among: chances.map((one, i) => (one * howManyGone(chances.filter((_, j) => j !== i), m - 1)[m - 1]) / number[m]),
  };
}

/**
 * The chance of each bird on a roll to be one of the missing.
 * @param {Bird[]} roll @param {{seen: (id: number) => boolean, inferred: (id: number) => number}} round
 *   inferred: the chance that a part reading was this bird @param {number} missing
 * @returns {{miscount: number, chances: Map<number, number>}}
 */
export function missingAmong(roll, { seen, inferred }, missing) {
  const gone = roll.map((bird) => (seen(bird.id) ? 0 : (1 - stillHere(bird)) * (1 - inferred(bird.id))));
  const { miscount, among } = amongWhom(gone, missing);
  return { miscount, chances: new Map(roll.map(({ id }, i) => [id, among[i]])) };
}

/** A bird's chance to be here once this round missed it too; one that nobody looks for was not missed.
 * @param {Bird} bird */
const stillHere = (bird) => (bird.excused ? bird.still_here : bird.if_missed ?? bird.still_here);

const ADVICE = ['search', 'look again', 'present'];

/** Most worrying first, as `worry` in core/presence/advice.py sorts: those on *search*, then by the chance of being
 * missing, then by the advice, then the likeliest gone.
 * @typedef {{search: boolean, missing: number, bird: Pick<Bird, 'advice'|'still_here'|'name'>}} Worry
 * @param {Worry} a @param {Worry} b @returns {number} */
export function moreWorrying(a, b) {
  return Number(b.search) - Number(a.search) || b.missing - a.missing
    || ADVICE.indexOf(a.bird.advice) - ADVICE.indexOf(b.bird.advice) || a.bird.still_here - b.bird.still_here
    || (a.bird.name < b.bird.name ? -1 : a.bird.name > b.bird.name ? 1 : 0);
}
