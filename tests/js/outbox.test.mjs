import assert from 'node:assert/strict';
import { test } from 'node:test';
import * as facts from '../../src/tarsus/web/static/shared/facts.js';
import * as outbox from '../../src/tarsus/web/static/shared/outbox.js';

const entry = (id, order, fate = 'kept') => ({
  fact: { id, kind: 'sighting', at: '2026-06-11T07:30:00.000+01:00', by: 3, round: 'r1' },
  fate,
  order,
  reason: '',
});

test('facts go in the order in which they were kept, a batch at a time, refused ones not again by themselves', () => {
  const entries = [entry('c', 3), entry('a', 1), entry('x', 0, 'refused'), entry('b', 2), entry('h', 4, 'heard')];
  assert.deepEqual(outbox.nextBatch(entries, 2).map((e) => e.fact.id), ['a', 'b']);
});

test('photographs go a few at a time: no batch is more than a slow network lets through, and none is empty', () => {
  const photograph = (id, order, bytes) => {
    const one = entry(id, order);
    return { ...one, fact: { ...one.fact, picture: 'x'.repeat(bytes) } };
  };
  const pictures = Array.from({ length: 100 }, (_, n) => photograph(`p${n}`, n, 250000)),
    ids = (of) => outbox.nextBatch(of).map((e) => e.fact.id);
  assert.deepEqual(ids(pictures), ['p0', 'p1', 'p2']);
  assert.deepEqual(
    ids([photograph('big', 0, outbox.BATCH_BYTES * 2), ...pictures.slice(1)]),
    ['big'],
    'too much by itself: alone',
  );
  assert.deepEqual(
    ids([entry('a', -1), photograph('big', 0, outbox.BATCH_BYTES), entry('c', 1)]),
    ['a'],
    'none overtakes another',
  );
  const wide = (id, order) => {
    const one = entry(id, order);
    return { ...one, fact: { ...one.fact, note: '鳥'.repeat(200000) } };
  };
  assert.deepEqual(ids([wide('a', 1), wide('b', 2)]), ['a'], 'as bytes, not as signs');
  assert.equal(ids(Array.from({ length: 200 }, (_, n) => entry(`s${n}`, n))).length, outbox.BATCH);
});

test('a fact leaves the outbox only on the answer for its own id', () => {
  const batch = [entry('a', 1), entry('b', 2), entry('c', 3), entry('d', 4)];
  const changed = outbox.afterAnswer(batch, [{ id: 'b', outcome: 'known' }, { id: 'a', outcome: 'written' }, {
    id: 'c',
    outcome: 'refused',
    reason: 'bird: 99 is not in this exhibit',
  }, { id: 'stranger', outcome: 'written' }]);
  assert.deepEqual(changed.map((e) => [e.fact.id, e.fate]), [['a', 'heard'], ['b', 'heard'], ['c', 'refused']]);
  assert.equal(changed[2].reason, 'bird: 99 is not in this exhibit');
  assert.deepEqual(outbox.afterAnswer(batch, undefined), []);
  assert.deepEqual(outbox.afterAnswer(batch, [{ id: 'a', outcome: 'maybe' }]), []);
});

test('after sign-out a phone keeps what it alone knows, and no more', () => {
  const entries = [entry('a', 1, 'heard'), entry('b', 2), entry('c', 3, 'mended'), entry('d', 4, 'refused')];
  assert.deepEqual(outbox.withTheServer(entries), ['a', 'c']);
});

test('what the server has not is sealed: by its person, else by whoever was signed in; only its place is read', () => {
  const entries = [entry('a', 1, 'heard'), entry('b', 2), entry('c', 3, 'mended'), {
    ...entry('d', 4, 'refused'),
    reason: 'bird: Chert',
  }];
  assert.deepEqual(outbox.toSeal(entries).map((e) => e.fact.id), ['b', 'd']);
  assert.equal(outbox.sealedBy(entries[1], 9, (person) => person === 3), 3);
  assert.equal(outbox.sealedBy(entries[1], 9, () => false), 9);
  const seal = { of: 3, iv: new Uint8Array(12), bytes: new ArrayBuffer(1) }, closed = outbox.sealed(entries[3], seal);
  assert.deepEqual(closed, {
    fact: { id: 'd', kind: 'sealed', at: '', by: 0 },
    fate: 'sealed',
    order: 4,
    reason: '',
    seal,
  });
  assert.deepEqual(outbox.keptHere([closed, entries[1]]), { kept: 1, refused: 0, aside: 0, sealed: 1 });
  assert.deepEqual([outbox.nextBatch([closed]), outbox.countingFacts([closed]), outbox.withTheServer([closed])], [
    [],
    [],
    [],
  ]);
  assert.equal(outbox.mayForget(closed, new Set(), Date.now(), 0), false, 'it is never dropped');
});

test('what was sealed while its answer was on its way stays sealed where it was refused', () => {
  const closed = ['a', 'b'].map((id, n) =>
    outbox.sealed(entry(id, n), { of: 3, iv: new Uint8Array(12), bytes: new ArrayBuffer(1) })
  );
  const changed = outbox.afterAnswer(closed, [{ id: 'a', outcome: 'refused', reason: 'bird: 99' }, {
    id: 'b',
    outcome: 'written',
  }]);
  assert.deepEqual(changed.map((e) => [e.fact.id, e.fate]), [['b', 'heard']]);
});

test('what the register keeps as a question is to be mended, and the question is settled with it', () => {
  const answers = [{ id: 'a', outcome: 'refused', reason: 'at: lies ahead of now', waits: true }, {
    id: 'b',
    outcome: 'refused',
    reason: 'bird: 99',
  }];
  assert.deepEqual(
    outbox.afterAnswer([entry('a', 1), entry('b', 2)], answers).map((e) => [e.fact.id, e.fate, e.late || false]),
    [['a', 'refused', true], ['b', 'refused', false]],
  );
});

test('what was answered for and refused when its turn came is to be mended, once, with the reason', () => {
  const entries = [entry('a', 1, 'heard'), entry('b', 2), entry('c', 3, 'mended'), entry('d', 4, 'heard')];
  const told = ['a', 'b', 'c', 'x'].map((id) => ({ id, reason: `bird: ${id}` }));
  assert.deepEqual(outbox.afterLateRefusal(entries, told).map((e) => [e.fact.id, e.fate, e.late, e.reason]), [[
    'a',
    'refused',
    true,
    'bird: a',
  ]]);
  assert.deepEqual(outbox.afterLateRefusal(entries, undefined), []);
});

test('a server that fails or is silent is asked again; one that cannot read a batch gets it in halves', () => {
  assert.deepEqual([500, 502, 503, 429, 408, null].map((s) => outbox.afterStatus(s, 9)), Array(6).fill('again'));
  assert.deepEqual([outbox.afterStatus(422, 9), outbox.afterStatus(422, 1), outbox.afterStatus(413, 2)], [
    'smaller',
    'single',
    'smaller',
  ]);
  assert.deepEqual([outbox.afterStatus(401, 1), outbox.afterStatus(403, 1), outbox.afterStatus(200, 1)], [
    'sign in',
    'sign in',
    'answered',
  ]);
});

/** Says an outbox as the page does, to a server that fails with 500 on some facts.
 * @returns how often it was asked, and how it ended */
function said(entries, culprits, most = 400) {
  let pace = outbox.USUAL, asked = 0, waited = 0;
  const now = new Map(entries.map((e) => [e.fact.id, e]));
  for (;;) {
    const batch = outbox.nextBatch([...now.values()], pace.size);
    if (!batch.length || batch[0].aside || asked >= most) return { asked, waited, entries: [...now.values()] };
    asked += 1;
    const status = batch.some((e) => culprits.has(e.fact.id)) ? 500 : 200;
    pace = outbox.counted(pace, status);
    const next = outbox.afterStatus(status, batch.length, pace);
    if (next === 'again') waited += 1;
    if (next === 'answered') {
      for (const e of outbox.afterAnswer(batch, batch.map((x) => ({ id: x.fact.id, outcome: 'written' }))))
        now.set(e.fact.id, e);
    }
    if (next === 'aside') now.set(batch[0].fact.id, outbox.setAside(batch[0]));
    pace = outbox.paceAfter(pace, next, batch.length);
  }
}

test('a fact that the server fails on is found by halves and set aside; all others arrive', () => {
  for (const at of [0, 1, 37, 98, 99, 100, 229]) {
    const entries = Array.from({ length: 230 }, (_, n) => entry(`f${n}`, n)),
      ended = said(entries, new Set([`f${at}`]));
    assert.deepEqual(ended.entries.filter((e) => e.fate !== 'heard').map((e) => [e.fact.id, e.fate, e.aside]), [[
      `f${at}`,
      'kept',
      1,
    ]]);
    assert.ok(ended.asked <= 30, `${at}: ${ended.asked} sendings`);
    assert.equal(ended.waited, 2, "the first two errors may be the server's own trouble");
    assert.deepEqual(outbox.keptHere(ended.entries), { kept: 1, refused: 0, aside: 1, sealed: 0 });
  }
  const three = said(Array.from({ length: 100 }, (_, n) => entry(`f${n}`, n)), new Set(['f3', 'f4', 'f90']));
  assert.deepEqual(three.entries.filter((e) => e.fate !== 'heard').map((e) => e.fact.id), ['f3', 'f4', 'f90']);
});

test('a server that is away, or fails once or twice, sets nothing aside', () => {
  assert.deepEqual(
    [502, 503, 504, 429, null].map((s) => outbox.afterStatus(s, 1, { size: 1, fails: 9, searching: true })),
    Array(5).fill('again'),
  );
  let pace = outbox.USUAL;
  for (const status of [500, 500, 503, 500, 500, null, 500]) {
    pace = outbox.counted(pace, status);
    assert.equal(outbox.afterStatus(status, 1, pace), 'again');
  }
});

test('what was set aside goes alone, after all others, the least tried first, at longer and longer waits', () => {
  const once = outbox.setAside(entry('b', 2)), twice = outbox.setAside(outbox.setAside(entry('a', 1)));
  assert.deepEqual(outbox.nextBatch([once, twice, entry('c', 3)]).map((e) => e.fact.id), ['c']);
  assert.deepEqual(outbox.nextBatch([twice, once]).map((e) => e.fact.id), ['b']);
  assert.equal(twice.aside, 2);
  assert.match(once.reason, /tell the administrator/);
  assert.deepEqual([outbox.asideSeconds(once, 1), outbox.asideSeconds(twice, 1)], [64, 128]);
  assert.deepEqual(outbox.countingFacts([once]).length, 1, 'it has happened as it was told');
  assert.deepEqual(outbox.badgeWords({ kept: 3, refused: 0, aside: 1 }), {
    n: '1',
    word: 'set aside',
    more: ', 3 kept on this phone',
  });
  assert.equal(outbox.badgeWords({ kept: 3, refused: 2, aside: 1 }).word, 'to mend');
});

test('waiting doubles, is spread by chance and never passes five minutes', () => {
  assert.deepEqual([1, 2, 3].map((n) => outbox.waitSeconds(n, 1)), [2, 4, 8]);
  assert.equal(outbox.waitSeconds(1, 0), 1);
  assert.equal(outbox.waitSeconds(60, 1), 300);
});

test('a refused fact stands on this phone and does not count as having happened', () => {
  const entries = [entry('a', 1), entry('b', 2, 'refused'), entry('c', 3, 'heard'), entry('d', 4, 'mended')];
  assert.deepEqual(outbox.keptHere(entries), { kept: 2, refused: 1, aside: 0, sealed: 0 });
  assert.deepEqual(outbox.countingFacts(entries).map((f) => f.id), ['a', 'c']);
  assert.equal(
    outbox.badgeWords({ kept: 12, refused: 0 }).n + ' ' + outbox.badgeWords({ kept: 12, refused: 0 }).word,
    '12 kept',
  );
});

test('only what the server heard is forgotten, and not while its round is shown', () => {
  const now = Date.parse('2026-06-21T07:30:00+01:00');
  assert.equal(outbox.mayForget(entry('a', 1), new Set(), now, 3), false);
  assert.equal(outbox.mayForget(entry('a', 1, 'refused'), new Set(), now, 3), false);
  assert.equal(outbox.mayForget(entry('a', 1, 'heard'), new Set(['r1']), now, 3), false);
  assert.equal(outbox.mayForget(entry('a', 1, 'heard'), new Set(), now, 3), true);
});

test("an id is a version 4 UUID and a fact says its time with the phone's own offset", () => {
  const id = facts.newId((bytes) => bytes.fill(255));
  assert.match(id, /^ffffffff-ffff-4fff-bfff-ffffffffffff$/);
  const moment = new Date('2026-06-11T06:41:02.120Z');
  assert.equal(new Date(facts.localIso(moment)).getTime(), moment.getTime());
  assert.match(facts.localIso(moment), /^2026-06-1\dT\d\d:\d\d:02\.120[+-]\d\d:\d\d$/);
  const west = { getTimezoneOffset: () => 210, getTime: () => moment.getTime() };
  assert.equal(facts.localIso(west), '2026-06-11T03:11:02.120-03:30');
  assert.equal(facts.clockOf('2026-06-11T07:41:02.120+01:00'), '07:41');
  const now = new Date(2026, 5, 11, 9);
  assert.equal(facts.momentOf('2026-06-11T07:41:02.120+01:00', now), '07:41');
  assert.equal(facts.momentOf('2026-06-10T16:33:00.000+01:00', now), '10 Jun, 16:33');
  const make = facts.factMaker({ id: () => 'i', now: () => moment, by: () => 5 });
  assert.deepEqual([make('count', { counted: 4 }).by, make('count', { counted: 4 }).counted], [5, 4]);
});
