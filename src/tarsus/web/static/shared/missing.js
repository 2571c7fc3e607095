// @ts-check
// Who may be the missing one. The count is short by m, so exactly m of the birds that nobody saw are not here: each
// bird's odds of being gone against here and merely not seen, conditioned on that number (conditional Bernoulli trials;
// docs/science/presence.md). It tells where to look first and clears nobody.

/** @typedef {{id: number, still_here: number, usual: number, inferred: number}} Doubt
 *   still_here: before this round · usual: chance of being seen in a round · inferred: chance that a part reading was it */

const CERTAIN = 1e-9;

/** Odds that a bird is gone, once it was not seen. @param {Doubt} doubt @returns {number} */
function oddsGone({ still_here, usual, inferred }) {
  const gone = Math.max(CERTAIN, 1 - still_here) * (1 - inferred);
  const hidden = Math.max(CERTAIN, still_here) * (inferred + (1 - inferred) * Math.max(CERTAIN, 1 - usual));
  return Math.max(CERTAIN, gone) / hidden;
}

/** Elementary symmetric polynomials of the odds, up to degree m, scaled by nothing: flocks are small.
 * @param {number[]} odds @param {number} m @returns {number[]} */
function symmetric(odds, m) {
  const sums = [1, ...new Array(m).fill(0)];
  for (const odd of odds) for (let k = m; k > 0; k -= 1) sums[k] += odd * sums[k - 1];
  return sums;
}

/**
 * The chance of each bird to be among the missing, given how many are missing.
 * @param {Doubt[]} doubts @param {number} missing
 * @returns {Map<number, number>} sums to `missing`; every chance is 1 where all of them must be gone
 */
export function missingChances(doubts, missing) {
  const m = Math.max(0, Math.min(missing, doubts.length));
  if (m === 0) return new Map(doubts.map(({ id }) => [id, 0]));
  const raw = doubts.map(oddsGone), scale = Math.max(...raw);
  const odds = raw.map((odd) => odd / scale);
  const all = symmetric(odds, m)[m];
  return new Map(doubts.map(({ id }, i) => {
    const rest = symmetric(odds.filter((_, j) => j !== i), m - 1)[m - 1];
    return [id, (odds[i] * rest) / all];
  }));
}

/** Most worrying first: those on *search*, then by the chance of being missing, then by days unseen.
 * @param {{search: boolean, missing: number, unseen_days: number, name: string}} a
 * @param {{search: boolean, missing: number, unseen_days: number, name: string}} b @returns {number} */
export function moreWorrying(a, b) {
  return Number(b.search) - Number(a.search) || b.missing - a.missing || b.unseen_days - a.unseen_days
    || (a.name < b.name ? -1 : 1);
}
