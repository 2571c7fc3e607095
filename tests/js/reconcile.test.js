// @ts-check
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';

import { posterior, prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';
import { ImpossibleReading, reconciled } from '../../src/tarsus/web/static/shared/reconcile.js';
import { reconciledInStates } from '../../src/tarsus/web/static/shared/reconcile-in-states.js';

const TOLERANCE = 1e-9;
const { cases, of_readings: rounds, in_states: inStates } = JSON.parse(
  readFileSync(new URL('../published/reconciliation_cases.json', import.meta.url), 'utf8'),
);

/** @param {ArrayLike<number>} found @param {number[]} expected @param {number} tolerance */
function near(found, expected, tolerance) {
  assert.equal(found.length, expected.length);
  expected.forEach((value, k) => assert.ok(Math.abs(found[k] - value) <= tolerance, `${found[k]} is not ${value}`));
}

for (const one of cases) {
  test(`phone and enumeration agree: ${one.name}`, () => {
    const found = reconciled(one.groups, one.birds);
    assert.equal(found.method, 'exact');
    near(found.seen, one.seen, TOLERANCE);
    one.groups.forEach((/** @type {any} */ group, /** @type {number} */ g) => {
      near(found.groups[g].stranger, group.stranger, TOLERANCE);
      group.chances.forEach((/** @type {number[]} */ row, /** @type {number} */ r) =>
        near(found.groups[g].chances[r], row, TOLERANCE)
      );
    });
  });
}

for (const one of rounds) {
  test(`phone and enumeration agree: ${one.name}`, () => {
    const flock = prepareFlock(one.birds, one.reader);
    const found = reconciled(
      one.groups.map((/** @type {any} */ { readings }) => {
        const rows = readings.map((/** @type {any} */ reading) => posterior(flock, reading, { strangers: 0 }));
        return {
          weights: rows.map((/** @type {any} */ row) =>
            one.birds.map((/** @type {any} */ _, /** @type {number} */ b) => row.straight[b] + row.crossed[b])
          ),
          strangers: rows.map(() => 0),
        };
      }),
      one.birds.length,
    );
    near(found.seen, one.seen, TOLERANCE);
    one.groups.forEach((/** @type {any} */ group, /** @type {number} */ g) =>
      group.chances.forEach((/** @type {number[]} */ row, /** @type {number} */ r) =>
        near(found.groups[g].chances[r], row, TOLERANCE)
      )
    );
  });
}

for (const one of inStates) {
  test(`phone and enumeration agree: ${one.name}`, () => {
    const states = one.prior.map((/** @type {number} */ _, /** @type {number} */ s) =>
      one.groups.map((/** @type {any} */ group) => group.in_states[s])
    );
    const found = reconciledInStates(states, one.prior, one.birds);
    assert.equal(found.method, 'exact');
    near(found.states, one.states, TOLERANCE);
    near(found.seen, one.seen, TOLERANCE);
    one.groups.forEach((/** @type {any} */ group, /** @type {number} */ g) => {
      near(found.groups[g].stranger, group.stranger, TOLERANCE);
      group.chances.forEach((/** @type {number[]} */ row, /** @type {number} */ r) =>
        near(found.groups[g].chances[r], row, TOLERANCE)
      );
    });
  });
}

test('a group too large for exact sums still tells the state', () => {
  const rows = Array.from(
    { length: 6 },
    (_, r) => Array.from({ length: 8 }, (_none, b) => 0.05 + ((r * 7 + b * 3) % 11) / 11),
  );
  const states = [1, 0.2].map((
    much,
  ) => [{ weights: rows.map((row) => row.map((one) => one * much)), strangers: rows.map(() => 0.01 * much) }]);
  const found = reconciledInStates(states, [0.5, 0.5], 8, 0),
    [likelier, other] = [1, 0.2 ** 6].map((told) => 0.8 * told + 0.2 * (0.5 + 0.5 * 0.2 ** 6));
  assert.equal(found.method, 'approximate');
  near(found.states, [likelier / (likelier + other), other / (likelier + other)], 1e-12);
});

test('where exact sums are not allowed, the approximation stays near them and says what it is', () => {
  for (const one of cases) {
    const found = reconciled(one.groups, one.birds, 0);
    assert.equal(found.method, 'approximate');
    near(found.seen, one.seen, 1e-5);
  }
});

test('three readings cannot be of two birds when there are no strangers', () => {
  const weights = [[0.5, 0.5], [0.5, 0.4], [0.5, 0.3]];
  assert.throws(() => reconciled([{ weights, strangers: [0, 0, 0] }], 2), ImpossibleReading);
});

test('four hundred birds and three hundred readings are weighed on the phone within seconds', () => {
  let seed = 7;
  const random = () => {
    seed = (seed * 16807) % 2147483647;
    return seed / 2147483647;
  };
  const weights = Array.from(
    { length: 300 },
    () => Float64Array.from({ length: 400 }, () => 10 ** (-8 * random() ** 0.2)),
  );
  const began = process.cpuUsage(); // whatever else runs on this machine does not count
  const found = reconciled([{ weights, strangers: new Float64Array(300).fill(1e-7) }], 400);
  assert.ok(process.cpuUsage(began).user < 8e6);
  found.groups[0].chances.forEach((row, r) => {
    const whole = row.reduce((sum, chance) => sum + chance, found.groups[0].stranger[r]);
    assert.ok(Math.abs(whole - 1) < 0.02, `reading ${r} sums to ${whole}`);
  });
});
