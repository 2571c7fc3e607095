// @ts-check
/**
 * In which order to pair, so that few kinds of readings are open at a time; and what that would cost.
 * The twin of core/readings/reconciliation_plan.py.
 */

/** What one pair of a step and an axis costs besides its states, in products. */
export const A_PAIR = 3000;

/** @typedef {{order: number[], opens: number[][], closes: number[][], cells: number}} Plan */
/** @typedef {Float64Array[]} Rows */

/**
 * How many readings of each axis can be paired at once: all of them, or as many as there are steps.
 * @param {Rows} weights @param {number[]} many
 */
export function axisSizes(weights, many) {
  return weights.map((row, axis) => Math.min(many[axis], row.reduce((n, w) => n + (w > 0 ? 1 : 0), 0)));
}

/**
 * Order the steps so that few axes are open at a time; null when it would cost more than `mostCells`.
 * @param {Rows} weights @param {number[]} many @param {number} steps @param {number} mostCells
 * @returns {Plan | null}
 */
export function planPairing(weights, many, steps, mostCells) {
  const size = axisSizes(weights, many).map((n) => n + 1);
  const logSize = size.map(Math.log);
  /** @type {Set<number>[]} */
  const waiting = weights.map(() => new Set());
  const touching = Array.from({ length: steps }, () => /** @type {number[]} */ ([]));
  weights.forEach((row, axis) =>
    row.forEach((w, step) => {
      if (w > 0) {
        waiting[axis].add(step);
        touching[step].push(axis);
      }
    })
  );
  // Steps that touch the same axes are alike to the plan, so it chooses among such patterns.
  /** @type {Map<string, {axes: number[], steps: number[]}>} */
  const left = new Map();
  touching.forEach((axes, step) => {
    if (!axes.length) return;
    const key = axes.join(' ');
    const known = left.get(key);
    if (known) known.steps.push(step);
    else left.set(key, { axes, steps: [step] });
  });
  /** @type {Set<number>} */
  const open = new Set();
  /** @type {Plan} */
  const plan = { order: [], opens: [], closes: [], cells: 0 };

  /** @param {number[]} axes */
  const growth = (axes) => {
    let grown = 0;
    for (const axis of axes) {
      if (!open.has(axis)) grown += logSize[axis];
      if (waiting[axis].size === 1) grown -= logSize[axis];
    }
    return Math.round(grown * 1e9) / 1e9;
  };

  const next = () => {
    const patterns = [...left.values()];
    const near = patterns.filter(({ axes }) => axes.some((axis) => open.has(axis)));
    let best = patterns[0];
    let least = Infinity;
    for (const pattern of near.length ? near : patterns) {
      const grown = growth(pattern.axes);
      if (grown < least || (grown === least && pattern.steps[0] < best.steps[0])) {
        best = pattern;
        least = grown;
      }
    }
    return best;
  };

  while (left.size) {
    const { axes, steps: alike } = next();
    const step = /** @type {number} */ (alike.shift());
    if (!alike.length) left.delete(axes.join(' '));
    const fresh = axes.filter((axis) => !open.has(axis));
    fresh.forEach((axis) => open.add(axis));
    let states = 1;
    for (const axis of open) states *= size[axis];
    plan.cells += (states + A_PAIR) * (axes.length + 1);
    if (plan.cells > mostCells) return null;
    const done = [];
    for (const axis of axes) {
      waiting[axis].delete(step);
      if (!waiting[axis].size) {
        done.push(axis);
        open.delete(axis);
      }
    }
    plan.order.push(step);
    plan.opens.push(fresh);
    plan.closes.push(done);
  }
  return plan;
}
