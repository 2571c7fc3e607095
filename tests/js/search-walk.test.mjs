import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { searchOrder, waiting } from '../../src/tarsus/web/static/shared/search-order.js';
import { planDrawing } from '../../src/tarsus/web/static/shared/plan-drawing.js';
import { leftPlaces } from '../../src/tarsus/web/static/shared/where.js';
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
    assert.deepEqual(
      walk.map(({ place, likely }) => [place, likely]),
      steps.map(({ place, likely }) => [place, likely]),
    );
    assert.equal(walkTold(walk.at(-1)?.by ?? 0, walk.reduce((sum, { expected }) => sum + expected, 0), names), says);
    walk.forEach((step, n) => ['minutes', 'by', 'expected'].forEach((key) => near(step[key], steps[n][key])));
  });
}

test('above eight places it is the order by found a minute where nobody walks', () => {
  const found = [3, 9, 1, 7, 5, 2, 8, 6, 4, 10].map((n) => n / 10),
    still = Array.from({ length: 11 }, () => found.map(() => 0));
  assert.deepEqual(searchOrder(found, found.map(() => 2), still), [9, 1, 6, 3, 7, 4, 8, 0, 5, 2]);
});

test('a place looked at in vain takes its share off the walk, and elsewhere grows with the rest', () => {
  const bird = { places: { 1: 0.5, 2: 0.3 } };
  assert.deepEqual(leftPlaces(bird, new Set()), { 1: 0.5, 2: 0.3 });
  const left = leftPlaces(bird, new Set([1]));
  assert.deepEqual(Object.keys(left), ['2']);
  near(left[2], 0.6);
  assert.deepEqual(leftPlaces({ places: {} }, new Set()), {});
});

test('the drawing numbers the pins in the order to look, says it in words and takes no name for markup', () => {
  const plan = {
    width_m: 40,
    tall: 1,
    metres_a_minute: 40,
    entrance: null,
    shapes: [{ what: 'water', points: '0,0 1,0 0.5,0.5' }],
    picture: '',
    pins: [{ place: 1, x: 0.2, y: 0.2, minutes: 3 }, { place: 2, x: 0.8, y: 0.8, minutes: 3 }, {
      place: 3,
      x: 0.5,
      y: 0.9,
      minutes: 3,
    }],
  };
  const names = new Map([[1, 'north <spit>'], [2, 'rail'], [3, 'reed edge']]),
    birds = new Map([[7, 'Kelp & Co'], [8, 'Sedge']]);
  const steps = searchWalk(plan.pins, plan, [{ bird: 7, found: 1, places: { 1: 0.2, 2: 0.7 } }, {
    bird: 8,
    found: 1,
    places: { 2: 0.1 },
  }]);
  const svg = planDrawing(plan, { steps, names, birds, exhibit: 'Shingle Aviary' });
  assert.match(
    svg,
    /aria-label="Plan of Shingle Aviary, in the order to look: 1 rail, Kelp &amp; Co 70 %, Sedge 10 %; /,
  );
  assert.match(svg, /; 2 north &lt;spit&gt;, Kelp &amp; Co 20 %"/);
  assert.deepEqual([...svg.matchAll(/class="pin-n" x="([\d.]+)"[^>]*>(\d)</g)].map(([, x, n]) => [x, n]), [
    ['72', '2'],
    ['288', '1'],
  ]);
  assert.equal([...svg.matchAll(/class="none"/g)].length, 1, 'a pin that is on no walk is hollow');
  const radius = [...svg.matchAll(/class="chance"[^>]* r="([\d.]+)"/g)].map(([, r]) => Number(r));
  assert.ok(radius[0] > radius[1], 'the larger, the likelier');
  assert.ok(!svg.includes('<spit>'));
});
