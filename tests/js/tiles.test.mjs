import assert from 'node:assert/strict';
import { test } from 'node:test';
import { dealTiles, likelyHere, tileOrder } from '../../src/tarsus/web/static/shared/tiles.js';
import { BIRDS, named } from './made/shingle.mjs';

const names = (ids) => ids.map((id) => BIRDS.find((b) => b.id === id).name);
const nobody = () => false;

test('the likely birds of a place come first, then those more often elsewhere, nearest first', () => {
  const deal = dealTiles(BIRDS, nobody, 4, 'avocet 4');
  assert.deepEqual(names(deal.here), ['Samphire', 'Sedge', 'Chert', 'Osier']);
  assert.deepEqual(names(deal.elsewhere), ['Kelp', 'Bracken']);
});

test('turned to the other place, other birds lead', () => {
  assert.deepEqual(names(dealTiles(BIRDS, nobody, 5, 'avocet 5').here), ['Kelp', 'Bracken', 'Osier']);
});

test('a bird without usual places may be anywhere; without a chosen place the roll keeps its order', () => {
  assert.equal(likelyHere(named('Osier'), 5), true);
  assert.deepEqual(dealTiles(BIRDS, nobody, null, 'avocet').here, BIRDS.map((b) => b.id));
});

test('a tapped tile keeps its place until the keeper turns elsewhere', () => {
  const before = dealTiles(BIRDS, nobody, 4, 'avocet 4');
  const seen = (id) => id === named('Samphire').id;
  assert.equal(tileOrder(before, BIRDS, seen, 4, 'avocet 4'), before);
  assert.deepEqual(names(tileOrder(before, BIRDS, seen, 4, 'avocet 4b').here), ['Sedge', 'Chert', 'Osier']);
});

test('a bird whose sighting is taken back after the deal joins at the end and moves nobody', () => {
  const before = dealTiles(BIRDS, (id) => id === named('Samphire').id, 4, 'avocet 4');
  const after = tileOrder(before, BIRDS, nobody, 4, 'avocet 4');
  assert.deepEqual(after.here, before.here);
  assert.deepEqual(names(after.elsewhere), ['Kelp', 'Bracken', 'Samphire']);
});
