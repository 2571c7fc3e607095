// @ts-check
/**
 * Sums over all ways to pair readings with birds, exactly, by dynamic programming over a frontier.
 * The twin of core/readings/reconciliation_exact.py; both pass tests/published/reconciliation_cases.json.
 */

import { axisSizes } from './pairing-plan.js';

/** @typedef {import('./pairing-plan.js').Plan} Plan */
/** @typedef {import('./pairing-plan.js').Rows} Rows */
/** `pair[t][b]` expected number of axis t's readings that are step b's; rooms as in the Python twin; `logSum`: the
 * logarithm of the sum over all pairings, null where the sums are not exact.
 * @typedef {{pair: Rows, axisRoom: Float64Array, stepRoom: Float64Array, logSum: number|null}} PairingSums */
/** @typedef {{axis: number, size: number, stride: number}} Open */

/** No bird, or no set of different birds, could have given these readings. */
export class ImpossibleReading extends Error {}

/**
 * @param {Rows} weights weight of pairing a reading of axis t with step b
 * @param {ArrayLike<number>} axisFree weight of one reading that stays unpaired
 * @param {ArrayLike<number>} stepFree weight of a step that stays unpaired
 * @param {number[]} many readings of each axis
 * @param {Plan} plan
 * @returns {PairingSums}
 */
export function pairingSums(weights, axisFree, stepFree, many, plan) {
  const sizes = axisSizes(weights, many).map((n) => n + 1);
  if (sizes.some((size, axis) => size <= many[axis] && axisFree[axis] === 0)) {
    throw new ImpossibleReading('more readings than birds that could have given them');
  }
  const leftover = sizes.map((size, axis) => leftoverWeights(size, axisFree[axis]));
  const lost = sizes.map((size, axis) => leftoverLost(size, many[axis], axisFree[axis]));
  const { states, closings, logScale } = forward(weights, stepFree, many, plan, sizes, leftover);
  const made = backward({ weights, stepFree, many, plan, sizes, leftover, lost, states, closings });
  return { ...made, logSum: logScale + logLeftOver(axisFree, stepFree, many, plan, sizes) };
}

/** Readings beyond the birds that could be theirs stay unpaired; a step that nothing goes with has no turn.
 * @param {ArrayLike<number>} axisFree @param {ArrayLike<number>} stepFree @param {number[]} many @param {Plan} plan
 * @param {number[]} sizes */
function logLeftOver(axisFree, stepFree, many, plan, sizes) {
  const turns = new Set(plan.order);
  let log = 0;
  sizes.forEach((size, axis) => {
    if (size <= many[axis]) log += (many[axis] - size + 1) * Math.log(axisFree[axis]);
  });
  for (let step = 0; step < stepFree.length; step += 1) if (!turns.has(step)) log += Math.log(stepFree[step]);
  return log;
}

/** @param {number} size @param {number} free */
function leftoverWeights(size, free) {
  return Float64Array.from({ length: size }, (_, taken) => free ** (size - 1 - taken));
}

/** What the leftovers weigh when one unpaired reading is taken away. @param {number} size @param {number} many
 * @param {number} free */
function leftoverLost(size, many, free) {
  return Float64Array.from({ length: size }, (_, taken) => {
    const share = (many - taken) / many;
    if (size <= many) return (share * free ** (size - 1 - taken)) / free;
    return taken === size - 1 ? 0 : share * free ** (size - 2 - taken);
  });
}

/**
 * Call `visit(at, at + stride, taken)` for every state in which one more of this axis can be taken.
 * @param {number} total @param {Open} open @param {(from: number, to: number, taken: number) => void} visit
 */
function eachRun(total, open, visit) {
  const { size, stride } = open;
  for (let base = 0; base < total; base += stride * size) {
    for (let taken = 0; taken < size - 1; taken += 1) {
      visit(base + taken * stride, base + (taken + 1) * stride, taken);
    }
  }
}

/** @param {Float64Array} state @returns {number} the largest entry, by which it was divided; 1 where there is none */
function scale(state) {
  let largest = 0;
  for (const value of state) if (value > largest) largest = value;
  if (!(largest > 0)) return 1;
  for (let k = 0; k < state.length; k += 1) state[k] /= largest;
  return largest;
}

/** @param {Open[]} layout @param {number} axis the layout without it, strides closed up */
function without(layout, axis) {
  let stride = 1;
  return layout.filter((open) => open.axis !== axis).map((open) => {
    const moved = { axis: open.axis, size: open.size, stride };
    stride *= open.size;
    return moved;
  });
}

/**
 * @param {Float64Array} state @param {Open} open @param {Float64Array} factor one weight a layer
 * @returns {Float64Array} the layers of one axis added up with their weights
 */
function summedOut(state, open, factor) {
  const { size, stride } = open;
  const out = new Float64Array(state.length / size);
  for (let base = 0, to = 0; base < state.length; base += stride * size, to += stride) {
    for (let taken = 0; taken < size; taken += 1) {
      const from = base + taken * stride;
      for (let k = 0; k < stride; k += 1) out[to + k] += state[from + k] * factor[taken];
    }
  }
  return out;
}

/** @param {Float64Array} state @param {Open} open @param {Float64Array} factor the reverse of `summedOut` */
function spreadOut(state, open, factor) {
  const { size, stride } = open;
  const out = new Float64Array(state.length * size);
  for (let from = 0, base = 0; from < state.length; from += stride, base += stride * size) {
    for (let taken = 0; taken < size; taken += 1) {
      const to = base + taken * stride;
      for (let k = 0; k < stride; k += 1) out[to + k] = state[from + k] * factor[taken];
    }
  }
  return out;
}

/**
 * @param {Rows} weights @param {ArrayLike<number>} stepFree @param {number[]} many @param {Plan} plan
 * @param {number[]} sizes @param {Float64Array[]} leftover
 */
function forward(weights, stepFree, many, plan, sizes, leftover) {
  /** @type {Float64Array} */
  let state = Float64Array.of(1);
  /** @type {Open[]} */
  let layout = [];
  /** @type {{state: Float64Array, layout: Open[]}[]} */
  const states = [];
  /** @type {{axis: number, open: Open, state: Float64Array, layout: Open[]}[][]} */
  const closings = [];
  let logScale = 0;
  plan.order.forEach((step, k) => {
    for (const axis of plan.opens[k]) {
      layout = [...layout, { axis, size: sizes[axis], stride: state.length }];
      const wider = new Float64Array(state.length * sizes[axis]);
      wider.set(state);
      state = wider;
    }
    states.push({ state, layout });
    state = stepped(state, layout, weights, many, stepFree[step], step);
    logScale += Math.log(scale(state));
    /** @type {{axis: number, open: Open, state: Float64Array, layout: Open[]}[]} */
    const closed = [];
    for (const axis of plan.closes[k]) {
      const open = /** @type {Open} */ (layout.find((one) => one.axis === axis));
      closed.push({ axis, open, state, layout });
      state = summedOut(state, open, leftover[axis]);
      layout = without(layout, axis);
    }
    closings.push(closed);
  });
  if (!(state[0] > 0)) throw new ImpossibleReading('these readings cannot be of different birds');
  return { states, closings, logScale: logScale + Math.log(state[0]) };
}

/**
 * @param {Float64Array} state @param {Open[]} layout @param {Rows} weights @param {number[]} many
 * @param {number} free @param {number} step
 */
function stepped(state, layout, weights, many, free, step) {
  const after = state.map((value) => value * free);
  for (const open of layout) {
    const weight = weights[open.axis][step];
    if (!(weight > 0)) continue;
    eachRun(state.length, open, (from, to, taken) => {
      const one = weight * (many[open.axis] - taken);
      for (let k = 0; k < open.stride; k += 1) after[to + k] += state[from + k] * one;
    });
  }
  return after;
}

/** @param {Float64Array} one @param {Float64Array} other */
function product(one, other) {
  let sum = 0;
  for (let k = 0; k < one.length; k += 1) sum += one[k] * other[k];
  return sum;
}

/** @param {any} of everything the forward pass kept @returns {Omit<PairingSums, 'logSum'>} */
function backward(of) {
  const { weights, stepFree, plan, sizes, leftover, lost, states, closings } = of;
  const pair = weights.map((/** @type {Float64Array} */ row) => new Float64Array(row.length));
  const axisRoom = Float64Array.from(sizes, (_, axis) => lost[axis][0]);
  const stepRoom = Float64Array.from(stepFree, (free) => 1 / free);
  /** @type {Float64Array} */
  let after = Float64Array.of(1);
  for (let k = plan.order.length - 1; k >= 0; k -= 1) {
    for (const closing of [...closings[k]].reverse()) {
      const whole = spreadOut(after, closing.open, leftover[closing.axis]);
      const less = spreadOut(after, closing.open, lost[closing.axis]);
      axisRoom[closing.axis] = product(closing.state, less) / product(closing.state, whole);
      after = whole;
    }
    const step = plan.order[k];
    const { state, layout } = states[k];
    const back = steppedBack(of, state, layout, after, step, pair);
    stepRoom[step] = product(state, after) / back.whole;
    const kept = layout.filter((/** @type {Open} */ open) => !plan.opens[k].includes(open.axis));
    const length = kept.reduce((/** @type {number} */ n, /** @type {Open} */ open) => n * open.size, 1);
    after = back.before.slice(0, length);
    scale(after);
  }
  return { pair, axisRoom, stepRoom };
}

/**
 * @param {any} of @param {Float64Array} state @param {Open[]} layout @param {Float64Array} after
 * @param {number} step @param {Rows} pair
 */
function steppedBack(of, state, layout, after, step, pair) {
  const before = after.map((value) => value * of.stepFree[step]);
  for (const open of layout) {
    const weight = of.weights[open.axis][step];
    if (!(weight > 0)) continue;
    let sum = 0;
    eachRun(after.length, open, (from, to, taken) => {
      const one = weight * (of.many[open.axis] - taken);
      for (let k = 0; k < open.stride; k += 1) {
        const taking = after[to + k] * one;
        before[from + k] += taking;
        sum += state[from + k] * taking;
      }
    });
    pair[open.axis][step] = sum;
  }
  const whole = product(state, before);
  for (const open of layout) pair[open.axis][step] /= whole;
  return { before, whole };
}
