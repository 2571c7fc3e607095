import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { placeFactors, usualFactors } from '../../src/tarsus/web/static/shared/places.js';
import { bothAges, plumageFactors } from '../../src/tarsus/web/static/shared/plumage.js';
import { posterior, prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';
import { withPlumage } from '../../src/tarsus/web/static/shared/sides.js';
import { parkHour, partOfDay, timeFactors } from '../../src/tarsus/web/static/shared/times-of-day.js';
import { BIRDS, FLOCK } from './made/shingle.mjs';

const published = (name) => JSON.parse(readFileSync(new URL(`../published/${name}`, import.meta.url), 'utf8'));
const READER = { swap: 0.02, flip: 0.01, overlook: 0.002, lost: 0.001, confusion: { red: {}, blue: {} } };

test('a day has its parts, by the clock of the park', () => {
  for (const [hour, part] of Object.entries(published('time_cases.json').parts))
    assert.equal(partOfDay(Number(hour)), part);
  const late = new Date('2026-06-11T22:30:00Z');
  assert.equal(parkHour(late, 'Europe/London'), 23);
  assert.equal(parkHour(late, 'Asia/Tokyo'), 7);
  assert.equal(parkHour(new Date('2026-06-10T23:30:00Z'), 'Europe/London'), 0);
});

test('an hour weighs only the birds that have one, and together with the place', () => {
  const birds = [{ places: { 4: 1 }, times: { evening: 2 } }, { places: { 5: 1 } }],
    evening = new Date('2026-06-11T17:00:00Z');
  assert.deepEqual(timeFactors(birds, evening, 'Europe/London'), [2, 1]);
  assert.deepEqual(timeFactors(birds, new Date('2026-06-11T07:00:00Z'), 'Europe/London'), [1, 1]);
  assert.deepEqual(usualFactors(birds, null, evening, 'Europe/London'), [2, 1]);
  usualFactors(birds, 4, evening, 'Europe/London').forEach((factor, b) =>
    assert.ok(Math.abs(factor - [3.4, 0.3][b]) < 1e-12)
  );
});

for (const one of published('plumage_cases.json').cases) {
  test(`a plumage weighs as worked by hand: ${one.name}`, () => {
    plumageFactors(one.young, one.told).forEach((factor, b) => assert.ok(Math.abs(factor - one.factors[b]) < 1e-12));
  });
}

test('of two that wear the same the one that looks so is likelier, and a stranger as likely as before', () => {
  const marks = { 'left leg': ['red', 'blue'] };
  const flock = prepareFlock([{ id: 1, marks, young: 0.95 }, { id: 2, marks, young: 0.05 }], READER);
  const before = posterior(flock, marks, { strangers: 0.01 }),
    young = posterior(flock, { ...marks, plumage: 'young' }, { strangers: 0.01 });
  assert.ok(Math.abs(young.straight[0] / young.straight[1] - 19) < 1e-9);
  assert.ok(Math.abs(young.noneOfThese - before.noneOfThese) < 1e-12);
  const unknown = prepareFlock([{ id: 1, marks }, { id: 2, marks: { 'left leg': ['blue'] } }], READER);
  assert.deepEqual(posterior(unknown, { ...marks, plumage: 'young' }), posterior(unknown, marks));
});

test('a plumage is asked for only where birds of both may be meant, and said twice it is off again', () => {
  assert.equal(bothAges([{ young: 0.95 }, {}]), false);
  assert.equal(bothAges([{ young: 0.95 }, { young: 0.05 }, {}]), true);
  assert.deepEqual(withPlumage({ 'left leg': ['red'] }, 'young'), { 'left leg': ['red'], plumage: 'young' });
  assert.deepEqual(withPlumage({ 'left leg': ['red'], plumage: 'young' }, 'young'), { 'left leg': ['red'] });
});

// Its page draws pictures by elements of its own, which node has none of.
globalThis.HTMLElement ??= class {};
globalThis.customElements ??= { define: () => undefined };
const { Who } = await import('../../src/tarsus/web/static/page/who-state.js');

test('what a visitor saw is weighed by the place, never by the hour at which it is told', () => {
  const now = partOfDay(parkHour(new Date(), 'Europe/London'));
  const birds = [{ ...BIRDS[0], times: { [now]: 3 } }, BIRDS[1]];
  const park = { palette: {}, zone: 'Europe/London' }, exhibit = { id: 1, places: [] };
  const pack = { reader: READER, exhibit, flocks: [{ ...FLOCK, birds }], park };
  const who = new Who([pack], { put: async () => undefined }, 3);
  who.visitor = true;
  assert.deepEqual(who.usual(who.known()), [1, 1]);
  who.exhibit = 1;
  who.place = 4;
  assert.deepEqual(who.usual(who.known()), placeFactors(birds.map(({ places }) => places), 4));
});
