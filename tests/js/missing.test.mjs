import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { amongWhom, missingAmong, NEVER_RULED_OUT, OVERLOOKED } from '../../src/tarsus/web/static/shared/missing.js';
import { named } from './made/shingle.mjs';

const told = JSON.parse(readFileSync(new URL('../published/short_count_cases.json', import.meta.url), 'utf8'));
const near = (found, expected) =>
  assert.ok(Math.abs(found - expected) <= told.tolerance, `${found} is not ${expected}`);

for (const one of told.cases) {
  test(`as walked through way by way: ${one.name}`, () => {
    const found = amongWhom(one.gone, one.missing);
    one.among.forEach((chance, b) => near(found.among[b], chance));
    near(found.miscount, one.miscount);
  });
}

test('the server counts with the same two numbers', () =>
  assert.deepEqual([OVERLOOKED, NEVER_RULED_OUT], [told.overlooked, told.least]));

test('nobody is missing from a full count', () =>
  assert.deepEqual(amongWhom([0.5, 0.2], 0), { miscount: 0, among: [0, 0] }));

test('this round speaks: a missed bird by its chance then, one not looked for by that before, a guess by less', () => {
  const roll = [
    ['Sedge', { if_missed: 0.6, still_here: 0.99 }],
    ['Kelp', { if_missed: 0.1, still_here: 0.9, excused: 'on a nest' }],
    ['Chert', { if_missed: 0.6, still_here: 0.99 }],
    ['Samphire', {}],
  ].map(([name, more]) => ({ ...named(name), ...more }));
  const { chances, miscount } = missingAmong(roll, {
    seen: (id) => id === roll[3].id,
    inferred: (id) => (id === roll[2].id ? 0.75 : 0),
  }, 1);
  const same = amongWhom([0.4, 0.1, 0.1, 0], 1);
  roll.forEach((bird, i) => near(chances.get(bird.id), same.among[i]));
  near(miscount, same.miscount);
});
