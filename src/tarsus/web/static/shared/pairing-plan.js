// @ts-check
/**
 * In which order to pair, so that few kinds of readings are open at a time; and what that would cost.
 * The twin of core/readings/reconciliation_plan.py.
 */

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
  /** @type {number[][]} */
  const touching = Array.from({ length: steps }, () => []);
  weights.forEach((row, axis) => row.forEach((w, step) => {
    if (w > 0) {
      waiting[axis].add(step);
      touching[step].push(axis);
    }
  }));
  const left = new Set(touching.flatMap((axes, step) => (axes.length ? [step] : [])));
  /** @type {Set<number>} */
  const open = new Set();
  /** @type {Plan} */
  const plan = { order: [], opens: [], closes: [], cells: 0 };

  /** @param {number} step */
  const growth = (step) => {
    let grown = 0;
    for (const axis of touching[step]) {
      if (!open.has(axis)) grown += logSize[axis];
      if (waiting[axis].size === 1) grown -= logSize[axis];
    }
    return Math.round(grown * 1e9) / 1e9;
  };

  const next = () => {
    /** @type {Set<number>} */
    const near = new Set();
    for (const axis of open) for (const step of waiting[axis]) near.add(step);
    let best = -1;
    let least = Infinity;
    for (const step of near.size ? near : left) {
      const grown = growth(step);
      if (grown < least || (grown === least && step < best)) {
        best = step;
        least = grown;
      }
    }
    return best;
  };

  while (left.size) {
    const step = next();
    left.delete(step);
    const fresh = touching[step].filter((axis) => !open.has(axis));
    fresh.forEach((axis) => open.add(axis));
    let states = 1;
    for (const axis of open) states *= size[axis];
    plan.cells += states * (touching[step].length + 1);
    if (plan.cells > mostCells) return null;
    const done = [];
    for (const axis of touching[step]) {
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
