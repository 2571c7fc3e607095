import assert from 'node:assert/strict';
import { test } from 'node:test';
import { standing } from '../../src/tarsus/web/static/shared/facts.js';
import { rollCalls } from '../../src/tarsus/web/static/shared/calls.js';
import * as round from '../../src/tarsus/web/static/shared/round.js';
import { fact, FLOCK, named, saw } from './made/shingle.mjs';

const WHEN = { now: Date.parse('2026-06-11T08:30:00+01:00'), zone: 'Europe/London' };
const of = (facts, when = WHEN) => round.roundState('r1', rollCalls(facts, when), facts);
const shuffled = (list, seed) => {
  const out = [...list];
  for (let i = out.length - 1, s = seed; i > 0; i -= 1) {
    s = (s * 1103515245 + 12345) % 2147483648;
    const j = s % (i + 1);
    [out[i], out[j]] = [out[j], out[i]];
  }
  return out;
};

test('a bird named by sight is seen, and an inferred one is not yet a seen one', () => {
  const state = of([saw(1, 'Sedge'), saw(2, 'Kelp', 'inferred')]);
  assert.equal(round.observed(state, named('Sedge').id), true);
  assert.equal(round.observed(state, named('Kelp').id), false);
  assert.deepEqual(round.unobserved(state, FLOCK).map((b) => b.name), ['Samphire', 'Kelp', 'Chert', 'Osier']);
});

test('an inference does not take the place of what was observed, in either order', () => {
  for (
    const facts of [[saw(1, 'Sedge', 'by reading'), saw(5, 'Sedge', 'inferred')], [
      saw(1, 'Sedge', 'inferred'),
      saw(5, 'Sedge', 'by reading'),
    ]]
  ) {
    assert.equal(of(facts).seen.get(named('Sedge').id).how, 'by reading');
  }
});

test('a chick that does not count yet is neither on the roll nor unseen', () => {
  const state = of([fact('count', 0, { lookalike: 'avocet', counted: 4 }), saw(1, 'Bracken')]);
  assert.deepEqual(round.sums(state, FLOCK), {
    roll: 5,
    expected: 5,
    counted: 4,
    differ: false,
    bySight: 0,
    byReading: 0,
    doubtful: 0,
    inferred: 0,
    seen: 0,
    unseen: 5,
    short: 1,
  });
});

test('the same facts in any order, and said twice, are the same round', () => {
  const facts = [
    fact('round_started', 0),
    fact('count', 1, { lookalike: 'avocet', counted: 4 }),
    fact('count', 9, { lookalike: 'avocet', counted: 5 }),
    saw(2, 'Sedge'),
    saw(3, 'Kelp', 'by reading', { id: 'k' }),
    fact('withdrawn', 4, { corrects: 'k', because: 'undo' }),
    saw(5, 'Chert', 'inferred'),
    saw(6, 'Chert', 'by reading'),
    fact('group', 5, { group: 'g1', size: 4 }),
    saw(6, 'Osier', 'by reading', { group: 'g1', position: 2 }),
    fact('group', 7, { group: 'g1', size: 3, flew: true }),
  ];
  const plain = (state) =>
    JSON.stringify({
      ...state,
      call: null,
      late: [...state.late],
      groupStates: [...state.groupStates],
      notDone: [...state.notDone],
      seen: [...state.seen],
      counts: [...state.counts],
      groups: [...state.groups].map(([id, g]) => [id, { ...g, positions: [...g.positions] }]),
    });
  const expected = plain(of(facts));
  for (let seed = 1; seed < 40; seed += 1) assert.equal(plain(of(shuffled([...facts, ...facts], seed))), expected);
  assert.equal(of(facts).counts.get('avocet').counted, 5);
  assert.equal(round.observed(of(facts), named('Kelp').id), false);
});

test('undoing an undo brings the sighting back', () => {
  const facts = [
    saw(1, 'Sedge', 'by sight', { id: 's' }),
    fact('withdrawn', 2, { id: 'w', corrects: 's' }),
    fact('withdrawn', 3, { corrects: 'w' }),
  ];
  assert.equal(round.observed(of(facts), named('Sedge').id), true);
  assert.equal(round.observed(of(facts.slice(0, 2)), named('Sedge').id), false);
});

test('two withdrawals that take each other back end in neither, not in a loop', () => {
  const left = standing([
    fact('withdrawn', 1, { id: 'a', corrects: 'b' }),
    fact('withdrawn', 2, { id: 'b', corrects: 'a' }),
  ]);
  assert.equal(left.size, 0);
});

test('a withdrawal that comes before what it takes back still takes it back', () => {
  const state = of([fact('withdrawn', 2, { corrects: 's' }), saw(1, 'Sedge', 'by sight', { id: 's' })]);
  assert.equal(state.sightings.length, 0);
});

test("two phones add up: the bird seen on either is seen, and undo takes back only this phone's own", () => {
  const mine = saw(1, 'Sedge'), theirs = { ...saw(2, 'Chert'), by: 7 };
  const state = of([mine, theirs]);
  assert.equal(round.sums(state, FLOCK).seen, 2);
  assert.equal(round.lastOwn(state, new Set([mine.id])), state.sightings[0]);
  assert.equal(round.lastOwn(state, new Set()), null);
});

test('a bird seen twice stays seen when one of the two is taken back', () => {
  const state = of([
    saw(1, 'Sedge', 'by sight', { id: 's' }),
    saw(4, 'Sedge', 'by reading'),
    fact('withdrawn', 5, { corrects: 's' }),
  ]);
  assert.equal(state.seen.get(named('Sedge').id).how, 'by reading');
});

test('a place read anew takes the later reading, and the next place is the first empty one to the right', () => {
  const state = of([
    fact('group', 1, { group: 'g', size: 4 }),
    saw(3, 'Kelp', 'by reading', { group: 'g', position: 1 }),
    saw(2, 'Sedge', 'by reading', { group: 'g', position: 1 }),
    saw(4, null, null, { group: 'g', position: 2, reading: { 'left tibia': ['metal'] } }),
  ]);
  const group = state.groups.get('g');
  assert.equal(group.positions.get(1).bird, named('Kelp').id);
  assert.equal(round.nextPlace(group, 1), 3);
  assert.equal(round.nextPlace(group, 3), 0);
  assert.deepEqual([...round.namedInGroup(state, 'g')], [named('Kelp').id]);
  assert.deepEqual([...round.namedInGroup(state, 'g', 1)], []);
  assert.equal(state.parts.length, 1);
});

test('a group that flew stays flown whatever size is told later, and keeps the time it began', () => {
  const state = of([
    fact('group', 1, { group: 'g', size: 20 }),
    fact('group', 4, { group: 'g', size: 20, flew: true }),
    fact('group', 6, { group: 'g', size: 18, flew: false }),
  ]);
  assert.deepEqual([state.groups.get('g').flew, state.groups.get('g').size, state.groups.get('g').at.slice(11, 16)], [
    true,
    18,
    '07:31',
  ]);
});

test('facts of another round do not count in this one, and a concern comes with its sighting', () => {
  const state = of([
    { ...saw(0, 'Sedge'), round: 'r0' },
    fact('round_closed', 1, { round: 'r0' }),
    saw(2, 'Kelp', 'by sight', { id: 'k' }),
    fact('concern', 3, { sighting: 'k', birds: [13], seen: ['lame'] }),
    fact('concern', 3, { sighting: 'elsewhere', birds: [11], seen: ['wound'] }),
  ]);
  assert.equal(state.sightings.length, 1);
  assert.deepEqual(state.concerns.map((c) => c.seen[0]), ['lame']);
});

test('not done is told by species, and closing by one phone closes it for all', () => {
  const state = of([
    fact('round_not_done', 1, { lookalike: 'ruff', because: 'birds shut in' }),
    fact('round_closed', 20),
    saw(25, 'Sedge'),
  ]);
  assert.equal(state.notDone.get('ruff'), 'birds shut in');
  assert.equal(state.closed, true);
  assert.equal(round.observed(state, named('Sedge').id), true);
});

test('a carcase that nobody could name lowers what a count should find, and not who is looked for', () => {
  const flock = { ...FLOCK, carcases: 1 };
  const state = of([fact('count', 0, { lookalike: 'avocet', counted: 4 }), saw(1, 'Sedge')]);
  assert.deepEqual(
    [round.sums(state, flock).expected, round.sums(state, flock).short, round.sums(state, flock).unseen],
    [4, 0, 4],
  );
  assert.equal(round.unobserved(state, flock).length, 4);
});

test('a name under 90 % is kept as doubtful: the bird is not seen, and a later sure one makes it so', () => {
  const read = (minute, chance) =>
    saw(minute, 'Sedge', 'by reading', { candidates: [{ bird: named('Sedge').id, chance }] });
  const doubtful = of([read(2, 0.88)]);
  assert.deepEqual([
    round.observed(doubtful, named('Sedge').id),
    round.sums(doubtful, FLOCK).doubtful,
    round.sums(doubtful, FLOCK).seen,
  ], [false, 1, 0]);
  assert.equal(round.sums(doubtful, FLOCK).unseen, 5);
  for (const facts of [[read(2, 0.88), read(5, 0.97)], [read(2, 0.97), read(5, 0.88)]]) {
    assert.equal(round.observed(of(facts), named('Sedge').id), true);
  }
});

test('two counts that differ are both told, and the lower speaks for the shortfall', () => {
  const state = of([
    fact('count', 1, { lookalike: 'avocet', counted: 5 }),
    fact('count', 2, { lookalike: 'avocet', counted: 4, by: 7 }),
  ]);
  assert.deepEqual(state.counts.get('avocet').told.map(({ by, counted }) => [by, counted]), [[3, 5], [7, 4]]);
  assert.deepEqual(
    [round.sums(state, FLOCK).counted, round.sums(state, FLOCK).short, round.sums(state, FLOCK).differ],
    [4, 1, true],
  );
});

test('closing says which look-alike groups were not called', () => {
  const ruffs = { ...FLOCK, lookalike: 'ruff' },
    stilts = { ...FLOCK, lookalike: 'stilt' },
    chicks = { ...FLOCK, lookalike: 'tern', birds: FLOCK.birds.filter((b) => !b.counted) };
  const facts = [
    saw(1, 'Sedge'),
    fact('round_not_done', 2, { lookalike: 'stilt', because: 'shut in' }),
    saw(3, null, null, { lookalike: 'ruff', reading: { 'left tibia': ['metal'] } }),
  ];
  assert.deepEqual(round.notCalled(of(facts), [FLOCK, ruffs, stilts, chicks]).map((flock) => flock.lookalike), [
    'ruff',
  ]);
  assert.deepEqual(round.groupState({ groups: of(facts).groupStates }, 'ruff'), { state: 'not called', because: '' });
});

test('a call that is over is opened again on its own day, and not on the next', () => {
  const facts = [fact('round_started', 0), saw(1, 'Sedge'), fact('round_closed', 9, { by: 7 })];
  assert.deepEqual(round.toReopen(of(facts), WHEN), ['r1']);
  assert.deepEqual([of(facts).closedBy, of(facts).closedAt.slice(11, 16)], [7, '07:39']);
  assert.deepEqual(round.toReopen(of(facts), { ...WHEN, now: WHEN.now + 86400000 }), []);
  const again = [...facts, fact('round_reopened', 15)];
  assert.deepEqual([of(again).phase, of(again).closed, of(again).closedAt, round.toReopen(of(again), WHEN)], [
    'open',
    false,
    null,
    [],
  ]);
});
