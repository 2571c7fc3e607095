import assert from 'node:assert/strict';
import { test } from 'node:test';
import * as keys from '../../src/tarsus/web/static/shared/legkeys.js';
import * as sides from '../../src/tarsus/web/static/shared/sides.js';
import { BIRDS, FLOCK } from './made/shingle.mjs';

const CONFUSION = {
  red: { orange: 0.03 },
  yellow: { lime: 0.03, white: 0.004 },
  green: { lime: 0.002, blue: 0.008 },
  white: { yellow: 0.004 },
  'pale blue': { blue: 0.01, white: 0.006 },
};
const COLOURS = ['red', 'yellow', 'green', 'white', 'orange', 'lime', 'blue', 'pale blue'];
const HUES = keys.hueOrder(COLOURS, CONFUSION);
const KEYS = keys.legKeys(BIRDS, sides.partsOf(FLOCK), HUES);

test('colours that are taken for each other stand side by side', () => {
  const apart = (a, b) => Math.abs(HUES.indexOf(a) - HUES.indexOf(b));
  for (const [a, b] of [['red', 'orange'], ['yellow', 'lime'], ['pale blue', 'blue']])
    assert.equal(apart(a, b), 1, `${a} ${b} in ${HUES}`);
  assert.deepEqual([...HUES].sort(), [...COLOURS].sort());
});

test('every stack worn on a side has one key: bare, metal, then by the upper colour', () => {
  assert.deepEqual(KEYS.left.map((k) => k.bands.join('/')), ['', 'metal', 'red', 'yellow/green']);
  assert.deepEqual(
    new Set(KEYS.right.map((k) => k.bands.join('/'))),
    new Set(['metal', 'red/white', 'yellow', 'yellow/lime', 'yellow/green', 'blue']),
  );
  assert.equal(KEYS.left[1].birds.length, 3);
});

test('the order of keys never changes with the order of the roll', () => {
  assert.deepEqual(
    keys.legKeys([...BIRDS].reverse(), KEYS.parts, HUES).right.map((k) => k.key),
    KEYS.right.map((k) => k.key),
  );
});

test('a key shows what is worn above and below the joint of its side', () => {
  assert.deepEqual(sides.stackMarks('tibia=;leg=', 'left'), { 'left tibia': [], 'left leg': [] });
  assert.deepEqual(sides.stackMarks('tibia=yellow,green', 'right'), { 'right tibia': ['yellow', 'green'] });
});

test('a key tapped on one leg fades what does not go with it on the other, and nothing on its own', () => {
  const reading = sides.stackMarks('tibia=metal', 'left');
  const fits = keys.fittingKeys(KEYS, 'right', reading);
  assert.deepEqual(KEYS.right.filter((k) => fits.has(k.key)).map((k) => k.bands.join('/')).sort(), [
    'red/white',
    'yellow/green',
    'yellow/lime',
  ]);
  assert.equal(keys.fittingKeys(KEYS, 'left', reading).size, KEYS.left.length);
});

test('a leg read as nobody wears it fades nothing', () => {
  const reading = sides.stackMarks('tibia=blue,blue', 'left');
  assert.equal(keys.fittingKeys(KEYS, 'right', reading).size, KEYS.right.length);
});

test('birds with bands above and below the joint are keyed by both, on both sides', () => {
  const low = {
    ...FLOCK,
    birds: [...BIRDS, {
      ...BIRDS[0],
      id: 20,
      marks: { 'left tibia': ['metal'], 'left leg': ['red'], 'right tibia': ['yellow', 'green'] },
    }],
  };
  assert.deepEqual(sides.partsOf(low), ['tibia', 'leg']);
  const both = keys.legKeys(low.birds, sides.partsOf(low), HUES);
  assert.deepEqual(both.left.map((k) => k.key), [
    'tibia=;leg=',
    'tibia=metal;leg=',
    'tibia=metal;leg=red',
    'tibia=red;leg=',
    'tibia=yellow,green;leg=',
  ]);
  assert.equal(keys.pressedKey(both, 'left', { 'left tibia': ['metal'] }), 'tibia=metal;leg=');
});

test("left and right are the bird's own: facing me, its left is on my right", () => {
  assert.equal(sides.whereIs('left', 'me'), 'on your right');
  assert.equal(sides.whereIs('left', 'away'), 'on your left');
  assert.deepEqual([sides.whereIs('left', 'left'), sides.whereIs('right', 'left'), sides.whereIs('right', '')], [
    'near',
    'far',
    '',
  ]);
});

test('taking one side out of a reading leaves the other as it was', () => {
  const reading = { 'left tibia': ['metal'], 'right tibia': ['red', '?'] };
  assert.deepEqual(sides.withSide(reading, 'left'), { 'right tibia': ['red', '?'] });
  assert.deepEqual(sides.withSide(reading, 'left', { 'left tibia': [] }), {
    'right tibia': ['red', '?'],
    'left tibia': [],
  });
  assert.deepEqual([sides.sideSeen({ 'left tibia': [] }, 'left'), sides.anySeen({ 'left tibia': null })], [
    true,
    false,
  ]);
});
