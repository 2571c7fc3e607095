import assert from 'node:assert/strict';
import { test } from 'node:test';
import * as facts from '../../src/tarsus/web/static/shared/facts.js';
import { missingChances, moreWorrying } from '../../src/tarsus/web/static/shared/missing.js';
import * as outbox from '../../src/tarsus/web/static/shared/outbox.js';

const entry = (id, order, fate = 'kept') => ({ fact: { id, kind: 'sighting', at: '2026-06-11T07:30:00.000+01:00', by: 3, round: 'r1' }, fate, order, reason: '' });

test('facts go in the order in which they were kept, a batch at a time, refused ones not again by themselves', () => {
  const entries = [entry('c', 3), entry('a', 1), entry('x', 0, 'refused'), entry('b', 2), entry('h', 4, 'heard')];
  assert.deepEqual(outbox.nextBatch(entries, 2).map((e) => e.fact.id), ['a', 'b']);
});

test('a fact leaves the outbox only on the answer for its own id', () => {
  const batch = [entry('a', 1), entry('b', 2), entry('c', 3), entry('d', 4)];
  const changed = outbox.afterAnswer(batch, [{ id: 'b', outcome: 'known' }, { id: 'a', outcome: 'written' },
    { id: 'c', outcome: 'refused', reason: 'bird: 99 is not in this exhibit' }, { id: 'stranger', outcome: 'written' }]);
  assert.deepEqual(changed.map((e) => [e.fact.id, e.fate]), [['a', 'heard'], ['b', 'heard'], ['c', 'refused']]);
  assert.equal(changed[2].reason, 'bird: 99 is not in this exhibit');
  assert.deepEqual(outbox.afterAnswer(batch, undefined), []);
  assert.deepEqual(outbox.afterAnswer(batch, [{ id: 'a', outcome: 'maybe' }]), []);
});

test('a server that fails or is silent is asked again; one that cannot read a batch gets it in halves', () => {
  assert.deepEqual([500, 502, 503, 429, 408, null].map((s) => outbox.afterStatus(s, 9)), Array(6).fill('again'));
  assert.deepEqual([outbox.afterStatus(422, 9), outbox.afterStatus(422, 1), outbox.afterStatus(413, 2)], ['smaller', 'single', 'smaller']);
  assert.deepEqual([outbox.afterStatus(401, 1), outbox.afterStatus(403, 1), outbox.afterStatus(200, 1)], ['sign in', 'sign in', 'answered']);
});

test('waiting doubles, is spread by chance and never passes five minutes', () => {
  assert.deepEqual([1, 2, 3].map((n) => outbox.waitSeconds(n, 1)), [2, 4, 8]);
  assert.equal(outbox.waitSeconds(1, 0), 1);
  assert.equal(outbox.waitSeconds(60, 1), 300);
});

test('a refused fact stands on this phone and does not count as having happened', () => {
  const entries = [entry('a', 1), entry('b', 2, 'refused'), entry('c', 3, 'heard'), entry('d', 4, 'mended')];
  assert.deepEqual(outbox.keptHere(entries), { kept: 2, refused: 1 });
  assert.deepEqual(outbox.countingFacts(entries).map((f) => f.id), ['a', 'c']);
  assert.equal(outbox.badgeWords({ kept: 12, refused: 0 }).n + ' ' + outbox.badgeWords({ kept: 12, refused: 0 }).word, '12 kept');
});

test('only what the server heard is forgotten, and not while its round is shown', () => {
  const now = Date.parse('2026-06-21T07:30:00+01:00');
  assert.equal(outbox.mayForget(entry('a', 1), new Set(), now, 3), false);
  assert.equal(outbox.mayForget(entry('a', 1, 'refused'), new Set(), now, 3), false);
  assert.equal(outbox.mayForget(entry('a', 1, 'heard'), new Set(['r1']), now, 3), false);
  assert.equal(outbox.mayForget(entry('a', 1, 'heard'), new Set(), now, 3), true);
});

test('an id is a version 4 UUID and a fact says its time with the phone\'s own offset', () => {
  const id = facts.newId((bytes) => bytes.fill(255));
  assert.match(id, /^ffffffff-ffff-4fff-bfff-ffffffffffff$/);
  const moment = new Date('2026-06-11T06:41:02.120Z');
  assert.equal(new Date(facts.localIso(moment)).getTime(), moment.getTime());
  assert.match(facts.localIso(moment), /^2026-06-1\dT\d\d:\d\d:02\.120[+-]\d\d:\d\d$/);
  const west = { getTimezoneOffset: () => 210, getTime: () => moment.getTime() };
  assert.equal(facts.localIso(west), '2026-06-11T03:11:02.120-03:30');
  assert.equal(facts.clockOf('2026-06-11T07:41:02.120+01:00'), '07:41');
  const make = facts.factMaker({ id: () => 'i', now: () => moment, by: () => 5 });
  assert.deepEqual([make('count', { counted: 4 }).by, make('count', { counted: 4 }).counted], [5, 4]);
});

/** Brute force over every set of `m` birds that could be gone. */
function enumerated(doubts, m) {
  const odds = doubts.map((d) => ((1 - d.still_here) * (1 - d.inferred)) / (d.still_here * (d.inferred + (1 - d.inferred) * (1 - d.usual))));
  const sums = doubts.map(() => 0);
  let all = 0;
  for (let set = 0; set < 2 ** doubts.length; set += 1) {
    const inside = doubts.map((_, i) => (set >> i) & 1);
    if (inside.reduce((a, b) => a + b) !== m) continue;
    const weight = inside.reduce((w, is, i) => (is ? w * odds[i] : w), 1);
    all += weight;
    inside.forEach((is, i) => { if (is) sums[i] += weight; });
  }
  return sums.map((s) => s / all);
}

test('the missing one: chances under a known number of missing equal brute force over all sets', () => {
  const doubts = [[1, 0.6, 0.96, 0], [2, 0.98, 0.9, 0], [3, 0.97, 0.7, 0.44], [4, 0.999, 0.95, 0], [5, 0.99, 0.99, 0.96]]
    .map(([id, still_here, usual, inferred]) => ({ id, still_here, usual, inferred }));
  for (const m of [1, 2, 4]) {
    const got = [...missingChances(doubts, m).values()], expected = enumerated(doubts, m);
    got.forEach((p, i) => assert.ok(Math.abs(p - expected[i]) < 1e-12, `${m} ${i} ${p} ${expected[i]}`));
    assert.ok(Math.abs(got.reduce((a, b) => a + b) - m) < 1e-9);
  }
  assert.deepEqual([...missingChances(doubts, 5).values()].map((p) => Math.round(p * 1e9) / 1e9), [1, 1, 1, 1, 1]);
  assert.equal(missingChances(doubts, 9).get(1) > 0.999, true);
  assert.equal(missingChances(doubts, 0).get(1), 0);
});

test('a bird on search stands first however unlikely a model calls it', () => {
  const list = [{ name: 'Sorrel', search: false, missing: 0.6, unseen_days: 1 }, { name: 'Sedge', search: true, missing: 0.1, unseen_days: 3 }];
  assert.deepEqual(list.sort(moreWorrying).map((b) => b.name), ['Sedge', 'Sorrel']);
});
