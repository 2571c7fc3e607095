// @ts-check
// Weigh the readings of a round together where nobody knows for certain how they were read: in one light, in one mud.
// The twin of core/readings/reconciliation_in_states.py; both pass tests/published/reconciliation_cases.json.

import { ImpossibleReading, reconciled } from './reconcile.js';

/** @typedef {import('./reconcile.js').GroupOfReadings} GroupOfReadings */
/** @typedef {import('./reconcile.js').RoundChances} RoundChances */
/** @typedef {{logSum: number, chances: ArrayLike<number>[], stranger: ArrayLike<number>, exact: boolean}} InState */

const OF_ITS_OWN = 0.2, MOST_CELLS = 100_000_000;

/**
 * @param {GroupOfReadings[][]} states  of each state the round's groups; the weights of a reading in one state stand to
 *   those in another as its chances do
 * @param {ArrayLike<number>} prior  how likely each state was before anything was read
 * @param {number} birds @param {number} [mostCells]
 * @returns {RoundChances & {states: number[]}}
 */
export function reconciledInStates(states, prior, birds, mostCells = MOST_CELLS) {
  const logPrior = Array.from(prior, Math.log),
    cells = Math.floor(mostCells / Math.max(states.length * states[0].length, 1));
  const groups = states[0].map((_, g) => inEach(states.map((one) => one[g]), g, birds, cells));
  const kept = groups.map((told) =>
    logPrior.map((_, s) =>
      told.map((one, t) => {
        const own = Math.log(OF_ITS_OWN) + logPrior[t] + one.logSum;
        return s === t ? logAdded([own, Math.log(1 - OF_ITS_OWN) + one.logSum]) : own;
      })
    )
  );
  const shares = exponents(logPrior.map((log, s) => kept.reduce((sum, both) => sum + logAdded(both[s]), log)));
  const unseen = shares.map(() => new Float64Array(birds).fill(1));
  const answers = groups.map((told, g) => {
    // of[s][t]: the group was in state t, given that the round was in s.
    const of = kept[g].map(exponents),
      own = told.map((_, t) => shares.reduce((sum, share, s) => sum + share * of[s][t], 0));
    const here = told.map((one) =>
      Float64Array.from({ length: birds }, (_, b) => one.chances.reduce((sum, row) => sum + row[b], 0))
    );
    unseen.forEach((left, s) =>
      left.forEach((_, b) => {
        left[b] *= 1 - Math.min(Math.max(mixed(of[s], here, b), 0), 1);
      })
    );
    return {
      chances: told[0].chances.map((_, r) =>
        Float64Array.from({ length: birds }, (_none, b) => mixed(own, told.map((one) => one.chances[r]), b))
      ),
      stranger: Float64Array.from(told[0].stranger, (_, r) => mixed(own, told.map((one) => one.stranger), r)),
      exact: told.every((one) => one.exact),
      logSum: null,
    };
  });
  const seen = Float64Array.from({ length: birds }, (_, b) => 1 - mixed(shares, unseen, b));
  return { seen, groups: answers, method: answers.every((one) => one.exact) ? 'exact' : 'approximate', states: shares };
}

/** @param {number[]} shares @param {ArrayLike<number>[]} rows @param {number} at */
const mixed = (shares, rows, at) => shares.reduce((sum, share, k) => sum + share * rows[k][at], 0);

/** @param {number[]} logs @returns {number} the logarithm of the sum of what they are logarithms of */
function logAdded(logs) {
  const top = Math.max(...logs);
  return top === -Infinity ? top : top + Math.log(logs.reduce((sum, one) => sum + Math.exp(one - top), 0));
}

/** @param {number[]} logs @returns {number[]} sums to 1 */
function exponents(logs) {
  const whole = logAdded(logs);
  return logs.map((one) => Math.exp(one - whole));
}

/** One group in each state; a state in which no pairing has any weight is ruled out.
 * @param {GroupOfReadings[]} states @param {number} number @param {number} birds @param {number} cells
 * @returns {InState[]} */
function inEach(states, number, birds, cells) {
  let refused = '';
  const found = states.map((group) => {
    try {
      return reconciled([group], birds, cells).groups[0];
    } catch (error) {
      if (!(error instanceof ImpossibleReading)) throw error;
      refused = error.message.replace('groups[0]', `groups[${number}]`);
      return null;
    }
  });
  if (found.every((one) => one === null)) throw new ImpossibleReading(refused);
  const exact = found.every((one) => one === null || one.logSum !== null), readings = states[0].strangers.length;
  const nothing = {
    logSum: -Infinity,
    chances: Array.from({ length: readings }, () => new Float64Array(birds)),
    stranger: new Float64Array(readings),
    exact: true,
  };
  return found.map((
    one,
    s,
  ) => (one === null
    ? nothing
    : { ...one, exact: one.logSum !== null, logSum: exact ? /** @type {number} */ (one.logSum) : apart(states[s]) })
  );
}

/** How probable readings are (log) that may all be of any bird. @param {GroupOfReadings} group */
const apart = ({ weights, strangers }) =>
  weights.reduce((sum, row, r) => sum + Math.log(Array.from(row).reduce((whole, one) => whole + one, strangers[r])), 0);
