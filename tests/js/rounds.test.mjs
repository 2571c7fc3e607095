import assert from 'node:assert/strict';
import { test } from 'node:test';
import { lightOfOpenRound, openRound } from '../../src/tarsus/web/static/shared/rounds.js';
import { roundState, sums } from '../../src/tarsus/web/static/shared/round.js';
import { fact, FLOCK, saw } from './made/shingle.mjs';

const NOW = Date.parse('2026-06-11T08:00:00+01:00');
const pack = (told = []) => ({ exhibit: { id: 1 }, park: { zone: 'Europe/London' }, told });
const began = (round, minute = -10, keys = {}) => ({
  ...fact('round_started', 0, { exhibit: 1, round, by: 7, ...keys }),
  at: new Date(Date.parse('2026-06-11T06:30:00Z') + minute * 60000).toISOString(),
});
const open = (its, own, now = NOW) => openRound(its, own, { now, fresh: 'new' });

test('without a round anywhere a fresh one begins with the first thing kept', () => {
  const { id, ids, open: opened, started, over } = open(pack(), []);
  assert.deepEqual([id, [...ids], [...opened], started, over], ['new', ['new'], ['new'], false, null]);
});

test('a phone joins the round that is open on the server', () => {
  const found = open(pack([began('theirs')]), []);
  assert.deepEqual([found.id, found.started], ['theirs', true]);
});

test('a round this phone began goes on after a reload, and not in another exhibit or on another day', () => {
  const mine = fact('round_started', 0, { exhibit: 1, round: 'mine' });
  assert.equal(open(pack(), [mine]).id, 'mine');
  assert.equal(open(pack(), [{ ...mine, exhibit: 2 }]).id, 'new');
  assert.equal(open(pack(), [{ ...mine, at: '2026-06-10T23:30:00.000+01:00' }]).id, 'new');
  const early = { ...mine, at: '2026-06-11T05:00:00.000+01:00' };
  assert.equal(open(pack(), [early], Date.parse('2026-06-11T18:50:00+01:00')).id, 'mine');
  assert.equal(open(pack(), [early], Date.parse('2026-06-11T19:10:00+01:00')).id, 'new');
});

test('rounds of two exhibits that are open at the same time are two', () => {
  const mine = fact('round_started', 0, { exhibit: 1, round: 'mine' }),
    elsewhere = fact('round_started', 1, { exhibit: 2, round: 'other' });
  assert.deepEqual([...open(pack(), [mine, elsewhere, { ...saw(2, 'Sedge'), exhibit: 2, round: 'other' }]).ids], [
    'mine',
  ]);
});

test('two phones that both began out of signal add up to one round, and the first begun speaks for both', () => {
  const own = [fact('round_started', 0, { exhibit: 1, round: 'mine' }), { ...saw(1, 'Sedge'), round: 'mine' }];
  const found = open(pack([began('theirs'), { ...saw(2, 'Kelp'), round: 'theirs' }]), own);
  assert.deepEqual([found.id, [...found.ids].sort()], ['theirs', ['mine', 'theirs']]);
  assert.equal(sums(roundState(found.ids, found.calls, own), FLOCK).seen, 2);
});

test('a round closed here or by another phone is over, and one that was not closed stays open beside it', () => {
  const mine = fact('round_started', 0, { exhibit: 1, round: 'mine' }),
    closed = fact('round_closed', 9, { round: 'mine' });
  assert.equal(open(pack(), [mine, closed]).id, 'new');
  assert.equal(open(pack([closed]), [mine]).id, 'new');
  const beside = open(pack([began('theirs'), closed]), [mine]);
  assert.deepEqual([beside.id, [...beside.ids].sort(), [...beside.open]], ['theirs', ['mine', 'theirs'], ['theirs']]);
});

test('one species not done leaves the round open; the whole exhibit not done ends it', () => {
  const mine = fact('round_started', 0, { exhibit: 1, round: 'mine' });
  assert.equal(
    open(pack(), [mine, fact('round_not_done', 9, { exhibit: 1, round: 'mine', lookalike: 'ruff' })]).id,
    'mine',
  );
  assert.equal(open(pack(), [mine, fact('round_not_done', 9, { exhibit: 1, round: 'mine' })]).id, 'new');
});

test('a phone that comes late to a closed call sees the names, the counts and the shortfall of the others', () => {
  const theirs = [
    began('theirs'),
    { ...fact('count', 1, { lookalike: 'avocet', counted: 4, by: 7 }), round: 'theirs' },
    { ...saw(2, 'Kelp'), round: 'theirs', by: 7 },
    { ...fact('round_closed', 9, { by: 7 }), round: 'theirs' },
  ];
  const found = open(pack(theirs), []);
  assert.deepEqual([found.id, found.started, found.over.phase], ['new', false, 'closed']);
  const state = roundState(found.over.rounds[0].id, found.calls, theirs);
  assert.deepEqual([state.closed, state.closedBy, sums(state, FLOCK).seen, sums(state, FLOCK).short], [true, 7, 1, 1]);
  assert.deepEqual(state.groupStates.get('avocet'), { state: 'called', because: '' });
  const opened = open(pack(theirs), [fact('round_reopened', 20, { round: 'theirs' })]);
  assert.deepEqual([opened.id, opened.started, opened.over], ['theirs', true, null]);
});

test('the light that counts elsewhere is the one last said in the round that is open in this exhibit', () => {
  const lit = (/** @type {string} */ round, /** @type {number} */ minute, /** @type {object} */ keys) => ({
    ...fact('round_light', minute, { round, ...keys }),
  });
  const mine = fact('round_started', 0, { exhibit: 1, round: 'mine' });
  const said = [mine, lit('mine', 1, { light: 'dull', mud: false }), lit('mine', 2, { light: 'dusk', mud: true })];
  const light = lightOfOpenRound(pack(), said, NOW);
  assert.deepEqual([light?.light, light?.mud], ['dusk', true]);
  assert.equal(lightOfOpenRound(pack(), [mine], NOW), null, 'nothing was said');
  assert.equal(lightOfOpenRound(pack(), said.map((one) => ({ ...one, exhibit: 2 })), NOW), null, 'another exhibit');
  const closed = fact('round_closed', 9, { round: 'mine' });
  assert.equal(lightOfOpenRound(pack(), [...said, closed], NOW), null, 'over');
  const theirs = [began('theirs'), lit('theirs', 3, { light: 'dull' })];
  assert.equal(lightOfOpenRound(pack(theirs), said, NOW)?.light, 'dull', 'another phone said it last');
});
