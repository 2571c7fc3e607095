// @ts-check
/**
 * Weigh the readings of a round together: within a group, every reading is of a different bird.
 * The twin of core/readings/reconciliation.py; both pass tests/published/reconciliation_cases.json.
 */

import { approximateSums } from './pairing-approximate.js';
import { planPairing } from './pairing-plan.js';
import { ImpossibleReading, pairingSums } from './pairing-sums.js';

export { ImpossibleReading };

/** @typedef {import('./pairing-plan.js').Rows} Rows */
/** `weights[r][b]`: prior weight of bird b times the chance that it gives reading r; `strangers[r]`: the same of
 * none of these birds.
 * @typedef {{weights: ArrayLike<number>[], strangers: ArrayLike<number>}} GroupOfReadings */
/** `logSum`: the logarithm of the sum over all pairings, null where that was approximated.
 * @typedef {{chances: Rows, stranger: Float64Array, exact: boolean, logSum: number|null}} GroupChances */
/** @typedef {{seen: Float64Array, groups: GroupChances[], method: 'exact' | 'approximate'}} RoundChances */
/** @typedef {{weights: Rows, strangers: Float64Array, many: number[], kindOf: number[], logScale: number}} Kinds */

const MOST_CELLS = 100_000_000;
const DROPPED = [1e-11, 1e-14, 1e-17, 0];
const CERTIFIED = 1e-10;

/**
 * @param {GroupOfReadings[]} groups @param {number} birds how many birds the flock has
 * @param {number} [mostCells] products that the exact sums may take; beyond, a group is approximated
 * @returns {RoundChances}
 */
export function reconciled(groups, birds, mostCells = MOST_CELLS) {
  let left = mostCells;
  const unseen = new Float64Array(birds).fill(1);
  const answers = groups.map((group, number) => {
    const { answer, cells } = groupChances(group, Math.floor(left / (groups.length - number)), number, groups.length);
    left -= cells;
    for (let b = 0; b < birds; b += 1) {
      let seen = 0;
      for (const row of answer.chances) seen += row[b];
      unseen[b] *= 1 - Math.min(Math.max(seen, 0), 1);
    }
    return answer;
  });
  return {
    seen: unseen.map((chance) => 1 - chance),
    groups: answers,
    method: answers.every((answer) => answer.exact) ? 'exact' : 'approximate',
  };
}

/** @param {GroupOfReadings} group @param {number} mostCells @param {number} number @param {number} groups */
function groupChances(group, mostCells, number, groups) {
  if (!group.strangers.length) {
    return { answer: { chances: [], stranger: new Float64Array(0), exact: true, logSum: 0 }, cells: 0 };
  }
  const kinds = kindsOf(group, number);
  const { sums: exactly, cells } = exactSums(kinds, mostCells);
  const sums = exactly ?? approximateSums(kinds.weights, kinds.strangers, kinds.many, 1 / groups);
  const each = sums.pair.map((row, t) => row.map((value) => value / kinds.many[t]));
  const stranger = kinds.strangers.map((free, t) => free * sums.axisRoom[t]);
  return {
    answer: {
      chances: kinds.kindOf.map((t) => each[t]),
      stranger: Float64Array.from(kinds.kindOf, (t) => stranger[t]),
      exact: exactly !== null,
      logSum: sums.logSum === null ? null : sums.logSum + kinds.logScale,
    },
    cells,
  };
}

/** The distinct rows, scaled to a largest weight of 1, in the order of their values.
 * @param {GroupOfReadings} group @param {number} number @returns {Kinds} */
function kindsOf(group, number) {
  let logScale = 0;
  const rows = group.weights.map((row, r) => {
    const whole = Float64Array.of(...Array.from(row), group.strangers[r]);
    const largest = whole.reduce((most, value) => Math.max(most, value), 0);
    if (!(largest > 0)) throw new ImpossibleReading(`groups[${number}][${r}]: no bird could have given this reading`);
    logScale += Math.log(largest);
    return whole.map((value) => value / largest);
  });
  const order = rows.map((_, r) => r).sort((x, y) => compared(rows[x], rows[y]));
  /** @type {Kinds} */
  const kinds = { weights: [], strangers: new Float64Array(0), many: [], kindOf: [], logScale };
  /** @type {number[]} */
  const strangers = [];
  order.forEach((r, k) => {
    if (k === 0 || compared(rows[r], rows[order[k - 1]]) !== 0) {
      kinds.weights.push(rows[r].slice(0, -1));
      strangers.push(rows[r][rows[r].length - 1]);
      kinds.many.push(0);
    }
    kinds.many[kinds.many.length - 1] += 1;
    kinds.kindOf[r] = kinds.many.length - 1;
  });
  kinds.strangers = Float64Array.from(strangers);
  return kinds;
}

/** @param {Float64Array} one @param {Float64Array} other */
function compared(one, other) {
  for (let k = 0; k < one.length; k += 1) if (one[k] !== other[k]) return one[k] - other[k];
  return 0;
}

/** @param {Kinds} kinds @param {number} mostCells */
function exactSums(kinds, mostCells) {
  let cells = 0;
  for (const share of DROPPED) {
    const { kept, dropped } = withoutLeast(kinds.weights, share / kinds.weights.length);
    const planned = cheaperPlan(kept, kinds.many, mostCells - cells);
    if (!planned) return { sums: null, cells };
    cells += planned.plan.cells;
    const sums = sumsOf(kept, kinds, planned);
    let moved = 0;
    dropped.forEach((weight, t) => {
      moved += kinds.many[t] * Math.log1p(weight * sums.axisRoom[t]);
    });
    if (Math.expm1(moved) <= CERTIFIED) return { sums, cells };
  }
  return { sums: null, cells };
}

/** Each row without its least weights, together at most a share of its largest. @param {Rows} weights
 * @param {number} share */
function withoutLeast(weights, share) {
  /** @type {number[]} */
  const dropped = [];
  const kept = weights.map((row) => {
    const order = Array.from(row, (_, b) => b).sort((x, y) => row[x] - row[y] || x - y);
    const out = row.slice();
    const limit = share * row[order[order.length - 1]];
    let sum = 0;
    let gone = 0;
    for (const b of order) {
      sum += row[b];
      if (sum > limit) break;
      gone = sum;
      out[b] = 0;
    }
    dropped.push(gone);
    return out;
  });
  return { kept, dropped };
}

/** @param {Rows} rows @param {number} columns @returns {Rows} */
const turned = (rows, columns) => Array.from({ length: columns }, (_, b) => Float64Array.from(rows, (row) => row[b]));

/** @param {Rows} weights @param {number[]} many @returns {Rows} a row for every reading */
const expanded = (weights, many) => weights.flatMap((row, t) => Array.from({ length: many[t] }, () => row));

/** @param {Rows} weights @param {number[]} many @param {number} mostCells */
function cheaperPlan(weights, many, mostCells) {
  const birds = weights[0].length;
  const byBirds = planPairing(weights, many, birds, mostCells);
  const rows = expanded(weights, many);
  const other = planPairing(turned(rows, birds), new Array(birds).fill(1), rows.length, byBirds?.cells ?? mostCells);
  if (other && (!byBirds || other.cells < byBirds.cells)) return { plan: other, byBirds: false };
  return byBirds && { plan: byBirds, byBirds: true };
}

/** @param {Rows} kept @param {Kinds} kinds
 * @param {{plan: import('./pairing-plan.js').Plan, byBirds: boolean}} planned */
function sumsOf(kept, kinds, { plan, byBirds }) {
  const birds = kept[0].length;
  const ones = new Array(birds).fill(1);
  if (byBirds) return pairingSums(kept, kinds.strangers, ones, kinds.many, plan);
  const rows = expanded(kept, kinds.many);
  const strangers = kinds.many.flatMap((count, t) => new Array(count).fill(kinds.strangers[t]));
  const sums = pairingSums(turned(rows, birds), ones, strangers, ones, plan);
  let first = 0;
  const firsts = kinds.many.map((count) => (first += count) - count);
  return {
    pair: kept.map((row, t) => row.map((_, b) => sums.pair[b][firsts[t]] * kinds.many[t])),
    axisRoom: Float64Array.from(firsts, (r) => sums.stepRoom[r]),
    stepRoom: sums.axisRoom,
    logSum: sums.logSum,
  };
}
