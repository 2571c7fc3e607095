import assert from 'node:assert/strict';
import { test } from 'node:test';
import { comesTo, differWords, notCalledWords, notListed, whoNeedsOne, withoutWords } from '../../src/tarsus/web/static/shared/second-look.js';
import { named } from './made/shingle.mjs';

const unseen = (name, missing, more = {}) => ({ bird: { ...named(name), ...more }, missing, search: false });
const names = (list) => list.map(({ bird }) => bird.name);
const says = (expected, counted, list, miscount = 0.04) => comesTo({ expected, counted, unseen: list, miscount }).say;

test('a bird that was only missed needs no second look where the count lacks nobody', () => {
  const list = [unseen('Sedge', 0), unseen('Kelp', 0, { advice: 'look again' }), unseen('Chert', 0), { ...unseen('Osier', 0), search: true }];
  assert.deepEqual(names(whoNeedsOne(list, 0)), ['Kelp', 'Osier']);
});

test('where the count is short, the fewest who are almost surely the missing ones are looked for', () => {
  const list = [unseen('Sedge', 0.02), unseen('Kelp', 0.6), unseen('Chert', 0.36), unseen('Osier', 0.02)];
  assert.deepEqual(names(whoNeedsOne(list, 1)), ['Kelp', 'Chert']);
  assert.deepEqual(names(whoNeedsOne(list, 0)), [], 'the same chances say nothing without a short count');
});

test('a bird on search is looked for however unlikely the count makes it, and a sitting one is not', () => {
  const list = [unseen('Sedge', 0.97), { ...unseen('Kelp', 0.01), search: true }, unseen('Chert', 0.02, { excused: 'on a nest' })];
  assert.deepEqual(names(whoNeedsOne(list, 1)), ['Sedge', 'Kelp']);
});

test('a short count, a miscount and who it may be are one sentence', () => {
  const three = [unseen('Sedge', 0.3), unseen('Kelp', 0.6), unseen('Chert', 0.1)];
  assert.equal(says(29, 28, three, 0.04),
    '28 counted of 29: one of the three unseen birds is missing, most likely Kelp (60 %), Sedge (30 %), Chert (10 %), unless the count is wrong (4 %).');
  assert.equal(says(29, 27, three), '27 counted of 29: two of the three unseen birds are missing, most likely Kelp (60 %), Sedge (30 %), Chert (10 %), unless the count is wrong (4 %).');
});

test('as many missing as unseen are named without a chance', () => {
  assert.equal(says(29, 28, [unseen('Kelp', 1)], 0.04), '28 counted of 29 and nobody saw Kelp: it is missing, unless the count is wrong (4 %).');
  assert.equal(says(29, 27, [unseen('Kelp', 1), unseen('Sedge', 1)]), '27 counted of 29 and nobody saw Kelp or Sedge: they are missing, unless the count is wrong (4 %).');
});

test('more missing than unseen says that a name or the count is wrong', () => {
  assert.equal(says(29, 27, [unseen('Kelp', 1)]), '27 counted of 29: two are missing but only one unseen, so count again, or a name is wrong.');
  assert.equal(says(29, 28, []), '28 counted of 29: one is missing but every bird was named, so count again, or a name is wrong.');
});

test('a full count, one too many and none at all', () => {
  assert.equal(says(29, 29, [unseen('Kelp', 0), unseen('Sedge', 0)]), 'All 29 were counted, so the two unseen birds are here.');
  assert.equal(says(29, 29, []), 'All 29 were counted and seen.');
  assert.equal(says(29, 31, [unseen('Kelp', 0)]), '31 counted, two more than the roll of 29: count again.');
  assert.equal(says(29, null, [unseen('Kelp', 0)]), 'Nobody counted, so nobody can say whether the one unseen bird is here.');
  assert.equal(says(29, null, []), 'Every bird was seen.');
});

test('who was only missed is a number, not a list', () => {
  assert.equal(notListed(0, 0), '');
  assert.equal(notListed(1, 0), 'One other was missed and needs no second look.');
  assert.equal(notListed(12, 1), 'Twelve others were missed and need no second look. One is not looked for.');
  assert.equal(notListed(0, 2), 'Two are not looked for.');
});

test('which groups nobody called, and what a closing leaves out', () => {
  assert.equal(notCalledWords(['ruff']), 'Ruffs were not called.');
  assert.equal(notCalledWords(['ruff', 'stilt', 'barnacle goose']), 'Ruffs, stilts and barnacle geese were not called.');
  assert.equal(withoutWords(['ruff', 'stilt']), 'without ruffs and stilts');
  assert.equal(withoutWords([]), '');
});

test('two counts that differ are told beside each other, and which of them stands', () => {
  const told = [{ who: 'Tamsin', counted: 46, at: '07:31' }, { who: 'Jory', counted: 45, at: '07:32' }];
  assert.equal(differWords(told, 45), 'Tamsin counted 46 at 07:31 and Jory counted 45 at 07:32: 45 stands until somebody counts again.');
});
