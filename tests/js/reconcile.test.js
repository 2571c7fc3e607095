// @ts-check
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';

import { posterior, prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';
import { ImpossibleReading, reconciled } from '../../src/tarsus/web/static/shared/reconcile.js';

const TOLERANCE = 1e-9;
const { cases, of_readings: rounds } = JSON.parse(
  readFileSync(new URL('../published/reconciliation_cases.json', import.meta.url), 'utf8'));

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
        near(found.groups[g].chances[r], row, TOLERANCE));
    });
  });
}

for (const one of rounds) {
  test(`phone and enumeration agree: ${one.name}`, () => {
    const flock = prepareFlock(one.birds, one.reader);
    const found = reconciled(one.groups.map((/** @type {any} */ { readings }) => {
      const rows = readings.map((/** @type {any} */ reading) => posterior(flock, reading, { strangers: 0 }));
      return { weights: rows.map((/** @type {any} */ row) => one.birds.map((/** @type {any} */ _, /** @type {number} */ b) => row.straight[b] + row.crossed[b])), strangers: rows.map(() => 0) };
    }), one.birds.length);
    near(found.seen, one.seen, TOLERANCE);
    one.groups.forEach((/** @type {any} */ group, /** @type {number} */ g) =>
      group.chances.forEach((/** @type {number[]} */ row, /** @type {number} */ r) => near(found.groups[g].chances[r], row, TOLERANCE)));
  });
}

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
  const random = () => { seed = (seed * 16807) % 2147483647; return seed / 2147483647; };
  const weights = Array.from({ length: 300 }, () => Float64Array.from({ length: 400 }, () => 10 ** (-8 * random() ** 0.2)));
  const began = process.cpuUsage(); // whatever else runs on this machine does not count
  const found = reconciled([{ weights, strangers: new Float64Array(300).fill(1e-7) }], 400);
  assert.ok(process.cpuUsage(began).user < 8e6);
  found.groups[0].chances.forEach((row, r) => {
    const whole = row.reduce((sum, chance) => sum + chance, found.groups[0].stranger[r]);
    assert.ok(Math.abs(whole - 1) < 0.02, `reading ${r} sums to ${whole}`);
  });
});
