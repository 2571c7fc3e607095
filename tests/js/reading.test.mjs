import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { expectedInformation, lookNext, openSites } from '../../src/tarsus/web/static/shared/looking.js';
import { identify, posterior, prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';

const check = JSON.parse(readFileSync(new URL('../published/identification_cases.json', import.meta.url), 'utf8'));
const near = (found, expected, what) =>
  assert.ok(Math.abs(found - expected) <= check.tolerance, `${what}: ${found} is not ${expected}`);

for (const one of check.cases) {
  test(`as worked the long way: ${one.name}`, () => {
    const flock = prepareFlock(one.birds, one.reader);
    for (const answer of one.readings) {
      const weights = posterior(flock, answer.reading, { strangers: one.strangers });
      answer.birds.forEach((chance, b) => near(weights.straight[b] + weights.crossed[b], chance, `bird ${b}`));
      near(weights.noneOfThese, answer.none_of_these, 'none of these');
      assert.equal(lookNext(flock, answer.reading, weights), answer.look_next);
      if (Object.keys(answer.information).length)
        assert.deepEqual(openSites(flock, answer.reading), Object.keys(answer.information));
      for (const [site, bits] of Object.entries(answer.information))
        near(expectedInformation(flock, weights, site), bits, site);
    }
  });
}

const READER = {
  swap: 0.022,
  flip: 0.0066,
  overlook: 0.0022,
  lost: 0.001,
  confusion: { red: { orange: 0.01 }, orange: { red: 0.001 }, blue: {} },
};
const SHINGLE = [
  { id: 1, marks: { 'left tibia': ['metal'], 'right tibia': ['red', 'blue'] } },
  { id: 2, marks: { 'left tibia': ['metal'], 'right tibia': ['orange', 'blue'] } },
  { id: 3, marks: { 'left tibia': ['metal'], 'right tibia': ['blue', 'red'] }, prior: 0.5 },
];

test('candidates come the likeliest first, with where to look next', () => {
  const part = identify(prepareFlock(SHINGLE, READER), { 'left tibia': ['metal'], 'right tibia': null });
  assert.deepEqual(part.candidates.map(({ id }) => id), [1, 2, 3]);
  assert.equal(part.lookNext, 'right tibia');
});

test('only red fades: read orange may well be red, read red is hardly ever orange', () => {
  const flock = prepareFlock(SHINGLE, READER);
  const chance = (bands, who) =>
    identify(flock, { 'right tibia': bands }).candidates.find(({ id }) => id === who)?.chance ?? 0;
  assert.ok(chance(['orange', 'blue'], 1) > 5 * chance(['red', 'blue'], 2));
});

test('a bird named already in this group is out, and the rest take its chance', () => {
  const flock = prepareFlock(SHINGLE, READER);
  const { candidates, noneOfThese } = identify(flock, { 'left tibia': ['metal'] }, { out: new Set([1]) });
  assert.deepEqual(candidates.map(({ id }) => id), [2, 3]);
  near(candidates.reduce((sum, { chance }) => sum + chance, noneOfThese), 1, 'sum');
  assert.equal(identify(flock, {}, { out: new Set([1, 2, 3]) }).noneOfThese, 1);
});

test('an empty flock has none of these, and a colour that the palette lacks is refused by name', () => {
  assert.deepEqual(identify(prepareFlock([], READER), { 'left leg': ['red'] }), {
    candidates: [],
    noneOfThese: 1,
    lookNext: null,
  });
  assert.throws(
    () => prepareFlock([{ id: 1, marks: { 'left leg': ['teal'] } }], READER),
    /'teal' is no colour of the palette/,
  );
});
