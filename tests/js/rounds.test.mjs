import assert from 'node:assert/strict';
import { test } from 'node:test';
import { openRound } from '../../src/tarsus/web/static/shared/rounds.js';
import { roundState, sums } from '../../src/tarsus/web/static/shared/round.js';
import { fact, FLOCK, saw } from './made/shingle.mjs';

const NOW = Date.parse('2026-06-11T08:00:00+01:00');
const pack = (round = null, over = []) => ({ exhibit: { id: 1 }, round, rounds_over: over });
const server = (id, sightings = []) => ({ id, started_at: '2026-06-11T07:20:00.000+01:00', by: 7, counts: {}, count_facts: [], sightings, groups: [], concerns: [], withdrawn: [] });
const open = (its, own) => openRound(its, own, { now: NOW, fresh: 'new' });

test('without a round anywhere a fresh one begins with the first thing kept', () => {
  assert.deepEqual(open(pack(), []), { id: 'new', ids: new Set(['new']), started: false, theirs: [] });
});

test('a phone joins the round that is open on the server', () => {
  const found = open(pack(server('theirs')), []);
  assert.deepEqual([found.id, found.started], ['theirs', true]);
});

test('a round this phone began goes on after a reload, and not in another exhibit or on another day', () => {
  const began = fact('round_started', 0, { exhibit: 1, round: 'mine' });
  assert.equal(open(pack(), [began]).id, 'mine');
  assert.equal(open(pack(), [{ ...began, exhibit: 2 }]).id, 'new');
  assert.equal(open(pack(), [{ ...began, at: '2026-06-10T07:30:00.000+01:00' }]).id, 'new');
});

test('two phones that both began out of signal add up to one round', () => {
  const own = [fact('round_started', 0, { exhibit: 1, round: 'mine' }), { ...saw(1, 'Sedge'), round: 'mine' }];
  const found = open(pack(server('theirs', [{ ...saw(2, 'Kelp'), round: 'theirs' }])), own);
  assert.equal(found.id, 'theirs');
  assert.equal(sums(roundState(found.ids, [...own, ...found.theirs]), FLOCK).seen, 2);
});

test('a round closed here or by another phone is over', () => {
  const began = fact('round_started', 0, { exhibit: 1, round: 'mine' });
  assert.equal(open(pack(), [began, fact('round_closed', 9, { round: 'mine' })]).id, 'new');
  assert.equal(open(pack(null, [{ id: 'mine', at: '2026-06-11T07:50:00+01:00', by: 7 }]), [began]).id, 'new');
});

test('one species not done leaves the round open; the whole exhibit not done ends it', () => {
  const began = fact('round_started', 0, { exhibit: 1, round: 'mine' });
  assert.equal(open(pack(), [began, fact('round_not_done', 9, { round: 'mine', lookalike: 'ruff' })]).id, 'mine');
  assert.equal(open(pack(), [began, fact('round_not_done', 9, { round: 'mine' })]).id, 'new');
});

test('all the rounds that are open together are one, and each that was closed drops out', () => {
  const both = { ...server('theirs'), ids: ['theirs', 'another'] };
  assert.deepEqual(open(pack(both), []).ids, new Set(['theirs', 'another']));
  assert.deepEqual(open(pack(both, [{ id: 'another', at: '', by: 7 }]), []).ids, new Set(['theirs']));
});
