import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { searchOrder, waiting } from '../../src/tarsus/web/static/shared/search-order.js';
import { searchWalk, walkTold } from '../../src/tarsus/web/static/shared/search-walk.js';

const read = (name) => JSON.parse(readFileSync(new URL(`../published/${name}`, import.meta.url), 'utf8')).cases;
const near = (got, wanted) => assert.ok(Math.abs(got - wanted) < 1e-9, `${got} is not ${wanted}`);

for (const { name, found, minutes, walk, order, cost } of read('search_order_cases.json')) {
  test(`the order is the best of all orders: ${name}`, () => {
    assert.deepEqual(searchOrder(found, minutes, walk), order);
    near(waiting(order, found, minutes, walk), cost);
  });
}

for (const { name, pins, ground, missing, steps, names, says } of read('search_walk_cases.json')) {
  test(`the walk is as worked by hand: ${name}`, () => {
    const walk = searchWalk(pins, ground, missing);
    assert.deepEqual(walk.map(({ place, likely }) => [place, likely]), steps.map(({ place, likely }) => [place, likely]));
    assert.equal(walkTold(walk.at(-1)?.by ?? 0, walk.reduce((sum, { expected }) => sum + expected, 0), names), says);
    walk.forEach((step, n) => ['minutes', 'by', 'expected'].forEach((key) => near(step[key], steps[n][key])));
  });
}

test('above eight places it is the order by found a minute where nobody walks', () => {
  const found = [3, 9, 1, 7, 5, 2, 8, 6, 4, 10].map((n) => n / 10), still = Array.from({ length: 11 }, () => found.map(() => 0));
  assert.deepEqual(searchOrder(found, found.map(() => 2), still), [9, 1, 6, 3, 7, 4, 8, 0, 5, 2]);
});
