import assert from 'node:assert/strict';
import { test } from 'node:test';
import {
  holder,
  IN_HAND_MS,
  liesIdle,
  provenHere,
  TRIES,
  whyNotHere,
} from '../../src/tarsus/web/static/shared/holding.js';

const now = Date.parse('2026-06-11T07:30:00Z');

test('a phone is in the hands of whoever took it, in that session only, for a working day', () => {
  const taken = { session: 3, who: 8, at: now - 3600000 };
  assert.equal(holder(taken, 3, now), 8);
  assert.equal(holder(taken, 5, now), 5);
  assert.equal(holder({ ...taken, at: now - IN_HAND_MS }, 3, now), 3);
  assert.equal(holder(undefined, 3, now), 3);
});

test('without signal a phone asks for the PIN of whom the server confirmed here today, a few times', () => {
  const proof = { salt: 's', digest: 'd', at: now - 3600000, wrong: 0 };
  assert.equal(whyNotHere(proof, 'Oswin', now), '');
  assert.match(whyNotHere(undefined, 'Oswin', now), /Oswin has not taken this phone in hand today/);
  assert.match(whyNotHere({ ...proof, at: now - IN_HAND_MS }, 'Oswin', now), /in reach of the network/);
  assert.match(whyNotHere({ ...proof, wrong: TRIES }, 'Oswin', now), /wrong 5 times/);
});

test('a phone asks for the PIN once it lay untouched for as long as the park says, never where it says nothing', () => {
  assert.equal(liesIdle(now - 5 * 60000, 5, now), true);
  assert.equal(liesIdle(now - 5 * 60000 + 1, 5, now), false);
  assert.equal(liesIdle(0, 0, now), false);
});

test('a PIN that was confirmed here today is known here, typed wrong too often or not', () => {
  const proof = { salt: 's', digest: 'd', at: now - 3600000, wrong: TRIES };
  assert.deepEqual([
    provenHere(proof, now),
    provenHere({ ...proof, at: now - IN_HAND_MS }, now),
    provenHere(undefined, now),
  ], [true, false, false]);
});
