// Learn the flock: what is remembered against the reference implementation of FSRS-6, readiness against statsmodels,
// who comes next, what is seen at a distance.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';

import {
  answered,
  confusedWith,
  newSession,
  nextBird,
  NOTHING_LEARNT,
  readiness,
  sharedOf,
  wilson,
} from '../../src/tarsus/web/static/shared/practice.js';
import { afterAnswer, known } from '../../src/tarsus/web/static/shared/practice-memory.js';
import { alikeToYou, differIn, eyesFor, tail } from '../../src/tarsus/web/static/shared/practice-sight.js';
import { alikeWords, readyWords } from '../../src/tarsus/web/static/shared/practice-words.js';
import { prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';
import { blurUnits, detailMm, sceneFor, shownOf } from '../../src/tarsus/web/static/shared/through-glasses.js';

const published = (name) => JSON.parse(readFileSync(new URL(`../published/${name}.json`, import.meta.url), 'utf8'));
const near = (one, other, within, what) =>
  assert.ok(Math.abs(one - other) <= within, `${what}: ${one} is not ${other}`);
const DAY = 86400000;

for (const { name, steps } of published('memory_cases').cases) {
  test(`memory is that of the reference implementation: ${name}`, () => {
    let memory, now = Date.parse('2026-06-01T08:00:00Z');
    for (const [at, step] of steps.entries()) {
      now += step.days * DAY;
      // The reference counts whole days.
      if (memory && step.days >= 1) near(known(memory, now), step.known_before, 1e-9, `${at}: known`);
      memory = afterAnswer(memory, step.grade, now);
      near(memory.stability, step.stability, 1e-9 * step.stability, `${at}: stability`);
      near(memory.difficulty, step.difficulty, 1e-9, `${at}: difficulty`);
    }
  });
}

for (const { right, of, low, high } of published('readiness_cases').cases) {
  test(`${right} of ${of} have Wilson's interval`, () => {
    near(wilson(right, of).low, low, 1e-12, 'low');
    near(wilson(right, of).high, high, 1e-12, 'high');
  });
}

const READER = {
  swap: 0.02,
  flip: 0.008,
  overlook: 0.002,
  lost: 0.003,
  confusion: {
    red: { orange: 0.06 },
    orange: { red: 0.01 },
    blue: { green: 0.001 },
    green: { blue: 0.001 },
    white: {},
  },
};
const BIRDS = [['red', 'white'], ['orange', 'white'], ['blue', 'green'], ['white', 'green']].map((
  [upper, lower],
  id,
) => ({ id, marks: { 'left leg': [upper, lower], 'right leg': ['metal'] } }));

test('birds that the reader mixes up are confused, and red is taken for orange more than orange for red', () => {
  const confused = confusedWith(prepareFlock(BIRDS, READER));
  near(confused.get(0), 0.06 / 0.94, 0.002, 'red over white');
  near(confused.get(1), 0.01 / 0.99, 0.001, 'orange over white');
  assert.ok(confused.get(2) < 0.002 && confused.get(3) < 0.002);
});

const ids = [0, 1, 2, 3], NOW = Date.parse('2026-06-02T08:00:00Z');
const draws = (learnt, confused, session, of = ids) => {
  const found = new Map(of.map((id) => [id, 0]));
  for (let at = 0; at < 1000; at += 1) {
    const id = nextBird(of, learnt, confused, session, { now: NOW, chance: (at + 0.5) / 1000 });
    found.set(id, found.get(id) + 1);
  }
  return found;
};

test('the bird that the flock confuses comes oftener, what is known comes seldom', () => {
  const confused = new Map([[0, 0.06], [1, 0], [2, 0], [3, 0]]);
  const fresh = draws(NOTHING_LEARNT, confused, newSession());
  near(fresh.get(0), 500, 1, 'three of six parts');
  const memories = Object.fromEntries([1, 2, 3].map((id) => [id, { stability: 50, difficulty: 5, at: NOW }]));
  const learnt = draws({ memories, answers: [] }, confused, newSession());
  assert.ok(learnt.get(0) > 940 && learnt.get(1) > 5);
});

test('a bird that was named wrongly comes back soon, and before it the one that it was taken for', () => {
  let learnt = NOTHING_LEARNT, session = newSession();
  const many = Array.from({ length: 12 }, (_, id) => id), shown = [];
  ({ learnt, session } = answered(learnt, session, { bird: 5, said: 7, at: NOW }));
  for (let turn = 0; turn < 6; turn += 1) {
    const bird = nextBird(many, learnt, new Map(), session, { now: NOW, chance: 0.999 });
    shown.push(bird);
    ({ learnt, session } = answered(learnt, session, { bird, said: bird, at: NOW }));
  }
  assert.deepEqual([shown.indexOf(7), shown.indexOf(5)], [1, 3]);
  assert.equal(session.soon.length, 0);
});

test('nobody is shown again at once, not even in a flock of two', () => {
  let learnt = NOTHING_LEARNT, session = newSession(), before = -1;
  for (let turn = 0; turn < 30; turn += 1) {
    const bird = nextBird(ids, learnt, new Map(), session, { now: NOW, chance: ((turn * 7) % 10) / 10 });
    assert.notEqual(bird, before);
    before = bird;
    ({ learnt, session } = answered(learnt, session, { bird, said: turn % 3 ? bird : null, at: NOW + turn * 6000 }));
  }
  assert.ok(ids.includes(nextBird([0, 1], learnt, new Map(), session, { now: NOW, chance: 0.2 })));
});

test('readiness is of the last forty answers about birds that are here', () => {
  const answers = [
    ...Array.from({ length: 30 }, () => ({ bird: 0, said: 1, at: 0 })),
    ...Array.from({ length: 36 }, () => ({ bird: 1, said: 1, at: 0 })),
    { bird: 2, said: 3, at: 0 },
    { bird: 2, said: 1, at: 0 },
    { bird: 9, said: 1, at: 0 },
    { bird: 0, said: null, at: 0 },
    { bird: 2, said: 9, at: 0 },
  ];
  const found = readiness(answers, new Set(ids));
  assert.deepEqual([found.right, found.of], [36, 40]);
  assert.deepEqual(found.again, [{ bird: 2, wrong: 3, said: [3, 1] }, { bird: 0, wrong: 1, said: [] }]);
  assert.equal(
    readyWords(found),
    '36 of 40 names right: between 77 % and 96 %. Not yet ready: that is from a lower end of 80 % on.',
  );
  assert.equal(readyWords(readiness(answers.slice(-3), new Set(ids))), '0 of 2 names right: too few to say more.');
});

test('a good eye tells a minute of arc, and glasses bring it eight times as near', () => {
  // ISO 8596: acuity 1.0 is a gap of one minute of arc; at 5 m, 1.454 mm.
  near(detailMm(5) * 8, 1.4544, 0.0001, 'five metres');
  near(blurUnits(60) / blurUnits(30), 2, 1e-6, 'twice as far');
});

const SITES = ['left leg', 'right leg'];

test('a leg is hidden only where the other one alone tells the bird, and is then not seen, not bare', () => {
  const always = () => 0.1, marks = BIRDS.map((bird) => bird.marks);
  assert.equal(sceneFor(marks[0], marks.slice(1), SITES, ['bright'], always).hidden, 'right');
  const twins = [{ 'left leg': ['red'], 'right leg': ['blue'] }, { 'left leg': ['red'], 'right leg': ['green'] }, {
    'left leg': ['white'],
    'right leg': ['blue'],
  }];
  assert.equal(sceneFor(twins[0], twins.slice(1), SITES, ['bright'], always).hidden, '');
  assert.deepEqual(shownOf(twins[0], SITES, 'left'), { 'right leg': ['blue'] });
});

test('the chance of so many or more is that of the binomial distribution', () => {
  // scipy 1.17.1, scipy.stats.binom.sf(k - 1, n, p).
  for (
    const [k, n, p, sf] of [[3, 20, 0.02, 0.0070686934038140595], [5, 11, 0.03, 9.647152487350947e-06], [
      1,
      40,
      0.02,
      0.5542995960490489,
    ], [9, 9, 0.5, 0.001953125]]
  ) near(tail(k, n, p), sf, 1e-12, `${k} of ${n}`);
});

const WORN = new Map([
  [0, { 'left leg': ['red'], 'right leg': ['metal'] }],
  [1, { 'left leg': ['green'], 'right leg': ['metal'] }],
  [2, { 'left leg': ['blue'], 'right leg': ['metal'] }],
  [3, { 'right leg': ['red', 'metal'] }],
]);
const said = (bird, name, times) => Array.from({ length: times }, () => ({ bird, said: name, at: 0 }));
const EXPECTED = { red: { green: 0.001 }, green: {}, blue: {}, white: {} };

test('two colours that are taken for each other far oftener than is expected are said, others are not', () => {
  const found = alikeToYou(
    [...said(0, 1, 3), ...said(1, 0, 1), ...said(0, 0, 3), ...said(1, 1, 2), ...said(2, 2, 9), ...said(2, 0, 1)],
    WORN,
    EXPECTED,
  );
  // Four of the nine times that red or green was shown; blue for red once is a slip.
  assert.deepEqual(found, [{ pair: ['green', 'red'], times: 4, of: 9 }]);
  assert.equal(alikeWords(found[0]), 'Green and red bands look alike to you: taken for each other 4 of 9 times.');
});

test('few confusions, expected ones and birds that differ in more than one band say nothing of colours', () => {
  assert.deepEqual(alikeToYou(said(0, 1, 2), WORN, EXPECTED), []);
  const taught = { ...EXPECTED, green: { red: 0.35 } };
  assert.deepEqual(alikeToYou([...said(0, 1, 4), ...said(0, 0, 6)], WORN, taught), []);
  assert.deepEqual(alikeToYou(said(0, 3, 9), WORN, EXPECTED), []);
  assert.deepEqual(alikeToYou(said(0, null, 9), WORN, EXPECTED), []);
  assert.equal(differIn(WORN.get(0), WORN.get(3)), null);
});

test('somebody is ready from the lower end of the interval on, and shares twenty readings of birds here', () => {
  const marks = new Map(BIRDS.map(({ id, marks: worn }) => [id, worn]));
  const named = (right, of) =>
    Array.from(
      { length: of },
      (_, at) => ({ bird: at % 4, said: at < right ? at % 4 : null, at, read: { 'left leg': [String(at)] } }),
    );
  assert.equal(sharedOf(named(37, 40), marks).ready, true, '37 of 40: from .80');
  assert.equal(sharedOf(named(36, 40), marks).ready, false, '36 of 40: from .77');
  const { answers } = sharedOf([...named(40, 40), { bird: 9, said: 9, at: 41, read: {} }, {
    bird: 1,
    said: null,
    at: 42,
  }], marks);
  assert.equal(answers.length, 20);
  assert.deepEqual(answers[19], { read: { 'left leg': ['39'] }, worn: marks.get(3) });
  assert.match(readyWords(readiness(named(37, 40), new Set(marks.keys()))), /Ready for this exhibit/);
  assert.match(readyWords(readiness(named(36, 40), new Set(marks.keys()))), /Not yet ready/);
});

test('the form of eyes is filled in for the eyes to which the colours look alike', () => {
  const palette = {
    red: '#c8102e',
    brown: '#6b3f2a',
    green: '#00843d',
    blue: '#0057b8',
    yellow: '#ffd100',
    pink: '#f4a6c0',
    white: '#ffffff',
    orange: '#ff6a13',
    violet: '#6d2077',
    grey: '#8a8d8f',
  };
  assert.notEqual(eyesFor(['red', 'green'], palette), 'tritan');
  assert.equal(eyesFor(['yellow', 'pink'], palette), 'tritan');
});
