// @ts-check
/**
 * The same sums where exact ones would take too long: strongly bound readings and birds are summed exactly in
 * clusters, and messages pass between clusters. The twin of core/readings/reconciliation_approximate.py.
 */

import { A_PAIR, planPairing } from './pairing-plan.js';
import { pairingSums } from './pairing-sums.js';

/** @typedef {import('./pairing-plan.js').Plan} Plan */
/** @typedef {import('./pairing-plan.js').Rows} Rows */
/** @typedef {import('./pairing-sums.js').PairingSums} PairingSums */
/** @typedef {{kinds: number[], birds: number[], plan: Plan}} Cluster */

const SETTLED = 1e-7;
const MOST_ROUNDS = 200;
const MOST_CLUSTER_ROUNDS = 12;
const KEPT = 0.5;
const LEAST_SHARE = 1e-12;
const LOOSE = 1e-4;
const MOST_STATES = 4096;
const MOST_CELLS_A_PASS = 10_000_000;

/** @param {number} rows @param {number} columns @param {number} value @returns {Rows} */
const filled = (rows, columns, value) => Array.from({ length: rows }, () => new Float64Array(columns).fill(value));

/** @param {ArrayLike<number>} values */
const total = (values) => {
  let sum = 0;
  for (let k = 0; k < values.length; k += 1) sum += values[k];
  return sum;
};

/** For each entry the sum of the others, by adding only. @param {Float64Array} values */
function others(values) {
  const out = new Float64Array(values.length);
  let before = 0;
  for (let k = 0; k < values.length; k += 1) {
    out[k] = before;
    before += values[k];
  }
  let behind = 0;
  for (let k = values.length - 1; k >= 0; k -= 1) {
    out[k] += behind;
    behind += values[k];
  }
  return out;
}

/**
 * @param {Rows} weights @param {Float64Array} strangers @param {number[]} many
 * @param {number} [share] the share of the round's work that this group may take
 * @returns {PairingSums}
 */
export function approximateSums(weights, strangers, many, share = 1) {
  const fromBird = settledMessages(weights, strangers, many);
  const chances = weights.map((row, t) => {
    const pulls = row.map((w, b) => w * fromBird[t][b]);
    const room = strangers[t] + total(pulls);
    return pulls.map((pull) => pull / room);
  });
  const clusters = boundTogether(chances, weights, many, MOST_CELLS_A_PASS * share);
  return clusteredSums(weights, strangers, many, clusters, fromBird);
}

/** @param {Rows} weights @param {Float64Array} strangers @param {number[]} many */
function settledMessages(weights, strangers, many) {
  const birds = weights[0].length;
  const fromBird = filled(weights.length, birds, 1);
  const before = filled(weights.length, birds, 0);
  for (let round = 0; round < MOST_ROUNDS; round += 1) {
    let moved = 0;
    const told = weights.map((row, t) => {
      const pulls = row.map((w, b) => w * fromBird[t][b]);
      const room = others(pulls).map((sum) => sum + strangers[t]);
      pulls.forEach((pull, b) => {
        const chance = pull / (room[b] + pull);
        moved = Math.max(moved, Math.abs(chance - before[t][b]));
        before[t][b] = chance;
      });
      return row.map((w, b) => w / Math.max(room[b], LEAST_SHARE));
    });
    for (let b = 0; b < birds; b += 1) {
      const asked = others(Float64Array.from(told, (row, t) => row[b] * many[t]));
      for (let t = 0; t < told.length; t += 1) {
        const all = 1 + asked[t] + told[t][b] * (many[t] - 1);
        fromBird[t][b] = KEPT * fromBird[t][b] + (1 - KEPT) / all;
      }
    }
    if (moved <= SETTLED) break;
  }
  return fromBird;
}

/**
 * Join kinds and birds, the least decided pairs first, as long as a cluster stays cheap to sum.
 * @param {Rows} chances @param {Rows} weights @param {number[]} many @param {number} mostCells
 * @returns {Cluster[]}
 */
function boundTogether(chances, weights, many, mostCells) {
  const birds = weights[0].length;
  const kinds = many.length;
  const root = Array.from({ length: kinds + birds }, (_, node) => node);
  const nodes = root.map((node) => [node]);
  const states = root.map((node) => (node < kinds ? many[node] + 1 : 1));
  /** @type {number[]} */
  const inBirds = root.map((node) => (node < kinds ? 0 : 1));
  /** @param {number} node */
  const rootOf = (node) => {
    while (root[node] !== node) node = root[node];
    return node;
  };
  let cells = 0;
  /** @param {number} node */
  const cellsOf = (node) => (states[node] + A_PAIR) * inBirds[node] * (nodes[node].length - inBirds[node]);
  for (const { t, b } of undecidedPairs(chances)) {
    const [one, other] = [rootOf(t), rootOf(kinds + b)].sort((x, y) => x - y);
    if (one === other) continue;
    const joined = states[one] * states[other];
    const joinedBirds = inBirds[one] + inBirds[other];
    const joinedKinds = nodes[one].length + nodes[other].length - joinedBirds;
    const grown = cells + (joined + A_PAIR) * joinedBirds * joinedKinds - cellsOf(one) - cellsOf(other);
    if (joined > MOST_STATES || grown > mostCells) continue;
    cells = grown;
    root[other] = one;
    states[one] = joined;
    inBirds[one] = joinedBirds;
    nodes[one].push(...nodes[other]);
    nodes[other] = [];
  }
  return nodes.filter((members) => members.length).map((members) => {
    const ofKinds = members.filter((node) => node < kinds).sort((x, y) => x - y);
    const ofBirds = members.filter((node) => node >= kinds).map((node) => node - kinds).sort((x, y) => x - y);
    const block = ofKinds.map((t) => Float64Array.from(ofBirds, (b) => weights[t][b]));
    const plan = /** @type {Plan} */ (
      planPairing(block, ofKinds.map((t) => many[t]), ofBirds.length, MOST_CELLS_A_PASS * MOST_STATES)
    );
    return { kinds: ofKinds, birds: ofBirds, plan };
  });
}

/** @param {Rows} chances pairs that are not settled either way, the least decided first */
function undecidedPairs(chances) {
  /** @type {{t: number, b: number, open: number}[]} */
  const pairs = [];
  chances.forEach((row, t) =>
    row.forEach((chance, b) => {
      const open = chance * (1 - Math.min(Math.max(chance, 0), 1));
      if (open > LOOSE) pairs.push({ t, b, open: Math.round(open * 1e9) / 1e9 });
    })
  );
  return pairs.sort((x, y) => y.open - x.open || x.t - y.t || x.b - y.b);
}

/**
 * @param {Rows} weights @param {Float64Array} strangers @param {number[]} many @param {Cluster[]} clusters
 * @param {Rows} start
 */
function clusteredSums(weights, strangers, many, clusters, start) {
  const outer = weights.map((row) => row.slice());
  for (const cluster of clusters) {
    for (const t of cluster.kinds) for (const b of cluster.birds) outer[t][b] = 0;
  }
  const fromBird = start;
  const fromReading = weights.map((row, t) => {
    const room = others(row.map((w, b) => w * start[t][b]));
    return outer[t].map((w, b) => w / Math.max(strangers[t] + room[b], LEAST_SHARE));
  });
  let answer = onePass();
  for (let round = 0; round < MOST_CLUSTER_ROUNDS; round += 1) {
    tell(answer);
    const before = answer;
    answer = onePass();
    let moved = 0;
    answer.pair.forEach((row, t) =>
      row.forEach((value, b) => {
        moved = Math.max(moved, Math.abs(value - before.pair[t][b]));
      })
    );
    if (moved <= SETTLED) break;
  }
  return answer;

  function onePass() {
    const birds = weights[0].length;
    const outsideReading = strangers.map((free, t) => free + total(outer[t].map((w, b) => w * fromBird[t][b])));
    const outsideBird = Float64Array.from({ length: birds }, (_, b) => {
      let sum = 0;
      for (let t = 0; t < many.length; t += 1) sum += many[t] * fromReading[t][b];
      return 1 + sum;
    });
    const axisRoom = outsideReading.map((free) => 1 / free);
    const stepRoom = outsideBird.map((free) => 1 / free);
    const pair = filled(many.length, birds, 0);
    for (const { kinds, birds: inside, plan } of clusters) {
      if (!kinds.length || !inside.length) continue;
      const sums = pairingSums(
        kinds.map((t) => Float64Array.from(inside, (b) => weights[t][b])),
        kinds.map((t) => outsideReading[t]),
        inside.map((b) => outsideBird[b]),
        kinds.map((t) => many[t]),
        plan,
      );
      kinds.forEach((t, i) => {
        axisRoom[t] = sums.axisRoom[i];
        inside.forEach((b, j) => {
          pair[t][b] = sums.pair[i][j];
        });
      });
      inside.forEach((b, j) => {
        stepRoom[b] = sums.stepRoom[j];
      });
    }
    pair.forEach((row, t) =>
      row.forEach((_, b) => {
        row[b] += many[t] * outer[t][b] * fromBird[t][b] * axisRoom[t];
      })
    );
    return { pair, axisRoom, stepRoom, logSum: null };
  }

  /** @param {PairingSums} sums */
  function tell(sums) {
    outer.forEach((row, t) =>
      row.forEach((w, b) => {
        if (!(w > 0)) return;
        const whole = 1 / sums.axisRoom[t];
        const told = w / Math.max(whole - w * fromBird[t][b], LEAST_SHARE * whole);
        const bird = 1 / sums.stepRoom[b];
        const free = 1 / Math.max(bird - fromReading[t][b], LEAST_SHARE * bird);
        fromReading[t][b] = KEPT * fromReading[t][b] + (1 - KEPT) * told;
        fromBird[t][b] = KEPT * fromBird[t][b] + (1 - KEPT) * free;
      })
    );
  }
}
