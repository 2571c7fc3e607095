import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import {
  evidenceOf,
  identifyInStates,
  priorOfStates,
  sharesOfStates,
} from '../../src/tarsus/web/static/shared/lights.js';
import { identify, prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';

const check = JSON.parse(readFileSync(new URL('../published/light_cases.json', import.meta.url), 'utf8'));
const near = (found, expected, what) =>
  assert.ok(Math.abs(found - expected) <= check.tolerance, `${what}: ${found} is not ${expected}`);

for (const one of check.cases) {
  test(`one round in one light, as worked the long way: ${one.name}`, () => {
    const flocks = one.readers.map((reader) => prepareFlock(one.birds, reader)), given = { strangers: one.strangers };
    const evidence = one.readings.map(({ reading }) => evidenceOf(flocks, reading, given));
    sharesOfStates(one.prior, evidence).forEach((share, s) => near(share, one.states[s], `state ${s}`));
    one.readings.forEach((answer, r) => {
      const others = evidence.filter((_, k) => k !== r),
        found = identifyInStates(flocks, one.prior, others, answer.reading, given);
      const by = new Map(found.candidates.map(({ id, chance }) => [id, chance]));
      one.birds.forEach((bird, b) => {
        if (answer.birds[b] >= 1e-6) near(by.get(bird.id) ?? 0, answer.birds[b], `bird ${b}`);
      });
      near(found.noneOfThese, answer.none_of_these, 'none of these');
    });
  });
}

test('what was said of the light is believed, but not blindly', () => {
  for (const { light, mud, prior } of check.priors)
    priorOfStates(light, mud).forEach((share, s) => near(share, prior[s], `${light} ${mud}`));
});

test('where to look next is worked out for the likeliest light alone, and is what that light says', () => {
  const [{ birds, readers, prior }] = check.cases, reading = { 'left leg': ['?', 'yellow'] }, looked = [];
  const flocks = readers.map((reader, s) => {
    const { stacks, ...flock } = prepareFlock(birds, reader);
    return Object.defineProperty(flock, 'stacks', {
      get() {
        looked.push(s);
        return stacks;
      },
    });
  });
  const { lookNext, shares } = identifyInStates(flocks, prior, [], reading),
    likeliest = shares.indexOf(Math.max(...shares));
  assert.deepEqual([...new Set(looked)], [likeliest]);
  assert.equal(lookNext, identify(flocks[likeliest], reading).lookNext);
  assert.ok(lookNext);
});
