// The published roll calls, each worked out by hand and by replay: the phone's fold answers as the server's.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { DOUBTFUL_BELOW } from '../../src/tarsus/web/static/shared/certainty.js';
import { rollCalls, STALE_HOURS, toJoin } from '../../src/tarsus/web/static/shared/calls.js';
import { answer, observed, roundState } from '../../src/tarsus/web/static/shared/round.js';

const { rules, cases } = JSON.parse(readFileSync(new URL('../published/round_cases.json', import.meta.url), 'utf8'));
const at = (/** @type {string|null} */ told) => told && Date.parse(told);
const whole = (/** @type {any[]} */ list) => [...list].sort((a, b) => a - b);

function plain(call, one) {
  const state = roundState(call.rounds[0].id, [call], one.facts),
    named = [...state.seen].filter(([bird]) => !observed(state, bird));
  const ended = call.phase === 'open'
    ? []
    : call.rounds.flatMap((round) => round.ended || []).map((fact) => at(fact.at));
  const roll = one.roll.map(({ bird, lookalike, excused }) => ({
    id: bird,
    lookalike,
    excused: excused ? 'in the nest' : '',
  }));
  const { seen, unseen, notAsked } = answer(state, roll);
  return {
    rounds: call.rounds.map(({ id }) => id),
    phase: call.phase,
    begun: call.rounds[0].begun,
    ended: ended.length ? Math.max(...ended) : null,
    groups: Object.fromEntries([...call.groups].map(([name, { state: word, because }]) => [name, [word, because]])),
    counts: Object.fromEntries(
      [...call.counts].map(([name, { told }]) => [name, told.map(({ by, counted }) => [by, counted])]),
    ),
    in_view: [...state.groups.values()].sort((a, b) => at(a.at) - at(b.at)).map((view) => ({
      group: view.id,
      at: at(view.at),
      by: view.by,
      size: view.size,
      place: view.place,
      flew: view.flew,
    })),
    sightings: state.sightings.map(({ id }) => id),
    observed: whole([...state.seen.keys()].filter((bird) => observed(state, bird))),
    doubtful: whole(named.filter(([, { how }]) => how !== 'inferred').map(([bird]) => bird)),
    inferred: whole(named.filter(([, { how }]) => how === 'inferred').map(([bird]) => bird)),
    late: [...call.late].sort(),
    closings: call.rounds.flatMap((round) => round.closings.map(({ id }) => id)),
    earlier: call.rounds.flatMap((round) => round.earlier.map(({ id }) => id)),
    seen,
    unseen,
    not_asked: notAsked,
  };
}

const wanted = ({ likely, ...call }) => ({
  ...call,
  begun: at(call.begun),
  ended: at(call.ended),
  in_view: call.in_view.map((view) => ({ ...view, at: at(view.at) })),
});

test('the rules are the same on both sides', () =>
  assert.deepEqual(rules, { stale_hours: STALE_HOURS, doubtful_below: DOUBTFUL_BELOW }));

for (const one of cases) {
  test(one.name, () => {
    const when = { now: Date.parse(one.now), zone: one.zone };
    for (const facts of [one.facts, [...one.facts].reverse(), [...one.facts, ...one.facts]]) {
      const calls = rollCalls(facts, when);
      assert.deepEqual(calls.map((call) => plain(call, one)), one.calls.map(wanted));
      assert.equal(toJoin(calls), one.join);
    }
  });
}
