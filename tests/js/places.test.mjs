import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { placeFactors } from '../../src/tarsus/web/static/shared/places.js';
import { identify, prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';

const { cases } = JSON.parse(readFileSync(new URL('../published/place_cases.json', import.meta.url), 'utf8'));

for (const one of cases) {
  test(`a place weighs as worked by hand: ${one.name}`, () => {
    placeFactors(one.places, one.place).forEach((factor, b) => assert.ok(Math.abs(factor - one.factors[b]) < 1e-12));
  });
}

test('of two that wear the same, the one that is usually there is likelier', () => {
  const reader = { swap: 0.02, flip: 0.01, overlook: 0.002, lost: 0.001, confusion: { red: {}, blue: {} } };
  const birds = [{ id: 1, marks: { 'left leg': ['red'] } }, { id: 2, marks: { 'left leg': ['red'] } }];
  const factors = placeFactors([{ 7: 0.2, 8: 0.8 }, { 7: 0.6, 8: 0.4 }], 7);
  const found = identify(prepareFlock(birds, reader), { 'left leg': ['red'] }, { strangers: 0, factors });
  assert.deepEqual(found.candidates.map(({ id }) => id), [2, 1]);
  assert.ok(Math.abs(found.candidates[0].chance - 1.35 / 2) < 1e-12);
});
