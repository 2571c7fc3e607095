import assert from 'node:assert/strict';
import { test } from 'node:test';
import * as leg from '../../src/tarsus/web/static/shared/open-leg.js';
import { legKeys, mayCarryMore, pressedKey, fittingKeys } from '../../src/tarsus/web/static/shared/legkeys.js';
import { thinkWords, withSwap } from '../../src/tarsus/web/static/shared/sides.js';
import { sidesRead } from '../../src/tarsus/web/static/shared/band-words.js';
import { BIRDS } from './made/shingle.mjs';

const WHOLE = { 'left tibia': 2, 'right tibia': 2 };
const BOTH = { ...WHOLE, 'left leg': 1, 'right leg': 1 };
const SITES = ['left tibia', 'right tibia'], FOUR = ['left tibia', 'left leg', 'right tibia', 'right leg'];
// A chick's single red above the pairs that begin with red: what is one band here, is the top of two there.
const FLOCK = [...BIRDS, {
  ...BIRDS[0],
  id: 31,
  name: 'Hazel',
  marks: { 'left tibia': ['green'], 'right tibia': ['red'] },
}];
const KEYS = legKeys(FLOCK, ['tibia'], ['red', 'yellow', 'lime', 'green', 'white', 'blue']);

test('one band of two is the top of a leg that may carry more; two are the whole leg', () => {
  const one = leg.withBand({}, 'right tibia', 'red', WHOLE);
  assert.deepEqual(one, { 'right tibia': ['red', '*'] });
  assert.deepEqual(leg.withBand(one, 'right tibia', 'white', WHOLE), { 'right tibia': ['red', 'white'] });
});

test('a bird that came with more bands than the rule gives can still be read', () => {
  const two = { 'right tibia': ['red', 'white'] };
  assert.deepEqual(leg.withBand(two, 'right tibia', 'blue', WHOLE)['right tibia'], ['red', 'white', 'blue']);
  assert.deepEqual(
    leg.withBand({ 'left leg': ['a', 'b', 'c', 'd'] }, 'left leg', 'red', {})['left leg'],
    ['red'],
    'a fifth begins anew',
  );
});

test('nothing more on this leg closes the whole of it and leaves the other as it is', () => {
  const read = { 'left tibia': ['metal', '*'], 'right tibia': ['red', '*'] };
  assert.deepEqual(leg.ended(read, 'right', FOUR), {
    'left tibia': ['metal', '*'],
    'right tibia': ['red'],
    'right leg': [],
  });
  assert.deepEqual([leg.isOpen(read, 'right', SITES), leg.isOpen(leg.ended(read, 'right', SITES), 'right', SITES)], [
    true,
    false,
  ]);
  assert.equal(leg.isOpen({}, 'right', SITES), false, 'a leg of which nothing was told has no end to tell');
  assert.equal(leg.isOpen({ 'right tibia': ['red', 'white'] }, 'right', FOUR), true, 'below the joint nobody looked');
});

test('a band taken off opens the leg again', () => {
  assert.deepEqual(leg.withoutBand({ 'right tibia': ['red', 'white'] }, 'right tibia', WHOLE), {
    'right tibia': ['red', '*'],
  });
  assert.deepEqual(leg.withoutBand({ 'right tibia': ['red', '*'], 'left tibia': [] }, 'right tibia', WHOLE), {
    'left tibia': [],
  });
});

test('a whole-leg key that shows fewer bands than make it whole is open too; only the bare key is bare', () => {
  assert.deepEqual(leg.keyReading('tibia=red', 'right', WHOLE), { 'right tibia': ['red', '*'] });
  assert.deepEqual(leg.keyReading('tibia=red,white', 'right', WHOLE), { 'right tibia': ['red', 'white'] });
  assert.deepEqual(leg.keyReading('tibia=', 'left', WHOLE), { 'left tibia': [] });
  assert.deepEqual(
    leg.keyReading('tibia=red,white;leg=', 'right', BOTH),
    { 'right tibia': ['red', 'white'] },
    'below the joint it may wear one',
  );
  assert.deepEqual(leg.keyReading('tibia=red,white;leg=', 'right', WHOLE), {
    'right tibia': ['red', 'white'],
    'right leg': [],
  });
});

test('the key that was tapped stays pressed, open or ended, and no other', () => {
  const open = leg.keyReading('tibia=red', 'right', WHOLE);
  assert.equal(pressedKey(KEYS, 'right', open), 'tibia=red');
  assert.equal(pressedKey(KEYS, 'right', leg.ended(open, 'right', SITES)), 'tibia=red');
  assert.equal(pressedKey(KEYS, 'left', open), null);
  assert.equal(pressedKey(KEYS, 'right', { 'right tibia': ['?', '*'] }), null);
  assert.equal(
    pressedKey({ ...KEYS, parts: ['tibia', 'leg'] }, 'left', { 'left leg': [] }),
    null,
    'above the joint nobody looked',
  );
});

test('an open leg goes with every key of the other leg that a longer stack has', () => {
  const fits = (reading) => [...fittingKeys(KEYS, 'left', reading)].sort();
  assert.deepEqual(fits({ 'right tibia': ['red', '*'] }), ['tibia=green', 'tibia=metal']);
  assert.deepEqual(fits({ 'right tibia': ['red'] }), ['tibia=green']);
});

test('the end of a leg is asked for only where somebody here wears more on it', () => {
  assert.equal(mayCarryMore(KEYS, 'right', { 'right tibia': ['red', '*'] }), true);
  assert.equal(mayCarryMore(KEYS, 'right', { 'right tibia': ['blue', '*'] }), false);
  assert.equal(mayCarryMore(KEYS, 'left', { 'left tibia': ['metal', '*'] }), false);
  assert.equal(mayCarryMore(KEYS, 'left', {}), false);
});

test('what makes a leg whole is the most of all flocks that are asked', () => {
  assert.deepEqual(leg.wholeOf([{ whole: { 'left leg': 1 } }, { whole: { 'left leg': 3, 'left tibia': 2 } }, {}]), {
    'left leg': 3,
    'left tibia': 2,
  });
});

test('I think left, and left or right unclear, are said of one reading and taken back by saying them again', () => {
  const read = { 'left tibia': ['metal', '*'] };
  assert.equal(thinkWords(read), 'I think left');
  assert.equal(thinkWords({ ...read, 'right tibia': [] }), 'I think so');
  assert.deepEqual(withSwap(read, 0.2), { ...read, swap: 0.2 });
  assert.deepEqual(withSwap(withSwap(read, 0.2), 0.5), { ...read, swap: 0.5 });
  assert.deepEqual(withSwap(withSwap(read, 0.2), 0.2), read);
});

test('from a half on the sides are unclear, and are never said to be swapped', () => {
  const percent = (chance) => `${100 * chance} %`;
  assert.deepEqual([undefined, 0.2, 0.5, 0.7].map((swap) => sidesRead(swap, percent)), [
    '',
    'legs swapped: 20 %',
    'left or right unclear',
    'left or right unclear',
  ]);
});
