// Independent looks, worked out by hand: the phone counts them as the watch does.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { rollCalls } from '../../src/tarsus/web/static/shared/calls.js';
import { stillOpen } from '../../src/tarsus/web/static/shared/report.js';
import { observed, roundState, sums, unobserved } from '../../src/tarsus/web/static/shared/round.js';
import { APART_MINUTES, CLEARS, witnesses } from '../../src/tarsus/web/static/shared/witnesses.js';
import { fact, FLOCK, named, saw } from './made/shingle.mjs';

const { rules, cases } = JSON.parse(readFileSync(new URL('../published/witness_cases.json', import.meta.url), 'utf8'));

test('the rules are the same on both sides', () =>
  assert.deepEqual(rules, { clears: CLEARS, apart_minutes: APART_MINUTES }));

for (const { name, looks, witnesses: wanted } of cases) {
  test(
    name,
    () =>
      assert.equal(
        witnesses(
          looks.map(({ minute, by, known, photographed }) => ({ at: minute * 60000, by, known, photographed })),
        ),
        wanted,
      ),
  );
}

const WHEN = { now: Date.parse('2026-06-11T08:30:00+01:00'), zone: 'Europe/London' };
const KELP = named('Kelp').id,
  sure = (minute, keys = {}) =>
    saw(minute, 'Kelp', 'by reading', { candidates: [{ bird: KELP, chance: 0.97 }], ...keys });
const of = (...facts) => roundState('r1', rollCalls(facts, WHEN), facts, [KELP]);

test('one sure reading of a bird on search leaves it on search, read once', () => {
  const state = of(sure(1), saw(2, 'Sedge', 'by reading', { candidates: [{ bird: named('Sedge').id, chance: 0.97 }] }));
  assert.equal(observed(state, KELP), false);
  assert.equal(state.seen.get(KELP).once, true);
  assert.equal(observed(state, named('Sedge').id), true, 'whoever is not searched for is seen by one reading');
  assert.equal(unobserved(state, FLOCK).includes(named('Kelp')), true);
  const { seen, doubtful, unseen } = sums(state, FLOCK);
  assert.deepEqual({ seen, doubtful, unseen }, { seen: 1, doubtful: 1, unseen: 4 });
});

test('sight, or two independent readings, clear a bird on search; a reading taken back leaves one', () => {
  assert.equal(observed(of(sure(1), sure(2)), KELP), false, 'one person, a minute apart');
  assert.equal(observed(of(sure(1), sure(2, { by: 7 })), KELP), true, 'two people');
  assert.equal(observed(of(sure(1), saw(3, 'Kelp')), KELP), true, 'by sight');
  assert.equal(observed(of(saw(1, 'Kelp'), sure(3)), KELP), true, 'by sight, then read');
  assert.equal(
    observed(of(sure(1), sure(2, { by: 7, id: 'second' }), fact('withdrawn', 3, { corrects: 'second' })), KELP),
    false,
  );
});

test('a doubtful second reading of a bird on search is no second look', () => {
  const state = of(sure(1), sure(2, { by: 7, candidates: [{ bird: KELP, chance: 0.89 }] }));
  assert.deepEqual([observed(state, KELP), state.seen.get(KELP).once], [false, true]);
});

test('a report is open until each bird that it may be about was seen since', () => {
  const told = (id, birds) => ({ id, at: '2026-06-11T07:30:00+01:00', told_by: 'a visitor', said: 'limps', birds });
  const at = { 11: '2026-06-11T07:31:00+01:00', 13: '2026-06-11T07:29:00+01:00' }, seenAt = (bird) => at[bird] ?? null;
  const reports = [told('a', [11]), told('b', [11, 12]), told('c', [13]), told('d', [])];
  assert.deepEqual(stillOpen(reports, seenAt).map(({ id }) => id), ['b', 'c', 'd']);
});
