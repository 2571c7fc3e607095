import assert from 'node:assert/strict';
import { test } from 'node:test';
import { reportKeys } from '../../src/tarsus/web/static/shared/report.js';
import { named } from './made/shingle.mjs';

test('a report says what was told and whom it may be about, and is no sighting', () => {
  const candidates = [{ bird: named('Sedge'), chance: 0.7 }, { bird: named('Kelp'), chance: 1e-7 }];
  const told = reportKeys({
    said: ' by the road, 14:00 ',
    birds: [named('Sedge').id],
    reading: { 'left tibia': ['red', '*'] },
    candidates,
    noneOfThese: 0.3,
  });
  assert.deepEqual(told, {
    said: 'by the road, 14:00',
    told_by: 'a visitor',
    birds: [named('Sedge').id],
    reading: { 'left tibia': ['red', '*'] },
    candidates: [{ bird: named('Sedge').id, chance: 0.7 }],
    none_of_these: 0.3,
  });
});

test('a report from inside an exhibit names it and the place; one from elsewhere names neither', () => {
  assert.deepEqual(
    [reportKeys({ said: 'x', birds: [], exhibit: 4, place: 7 })].map(({ exhibit, place }) => [exhibit, place]),
    [[4, 7]],
  );
  assert.equal('place' in reportKeys({ said: 'x', birds: [], place: 7 }), false);
});
