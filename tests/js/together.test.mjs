import assert from 'node:assert/strict';
import { test } from 'node:test';
import { matching, numbered } from '../../src/tarsus/web/static/shared/matching.js';
import { wherePlaces } from '../../src/tarsus/web/static/shared/where.js';
import { inferred, setOut } from '../../src/tarsus/web/static/shared/together.js';
import { reconciled } from '../../src/tarsus/web/static/shared/reconcile.js';
import { identify, prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';
import { rollCalls } from '../../src/tarsus/web/static/shared/calls.js';
import { observed, roundState } from '../../src/tarsus/web/static/shared/round.js';
import { changesIn } from '../../src/tarsus/web/static/shared/pack.js';
import { BIRDS, fact, FLOCK, named, saw } from './made/shingle.mjs';

const READER = {
  swap: 0.02,
  flip: 0.008,
  overlook: 0.002,
  lost: 0.003,
  confusion: { yellow: { lime: 0.01 }, red: { green: 0.002 }, lime: {}, green: {}, white: {}, blue: {} },
};
const prepared = prepareFlock(BIRDS, READER);
const weigh = (one) => {
  const { candidates, noneOfThese } = identify(prepared, one.reading, { strangers: 0.001 });
  return { chances: BIRDS.map((b) => candidates.find(({ id }) => id === b.id)?.chance ?? 0), none: noneOfThese };
};
const inferredFrom = (facts, sure = false) => {
  const state = roundState(
      'r1',
      rollCalls(facts, { now: Date.parse('2026-06-11T08:30:00+01:00'), zone: 'Europe/London' }),
      facts,
    ),
    out = setOut(state, FLOCK, weigh);
  const seen = (id) => (sure ? observed(state, id) : state.seen.has(id));
  return out.groups.length ? inferred(FLOCK, out, reconciled(out.groups, BIRDS.length), seen) : new Map();
};
const part = (minute, reading, keys = {}) => saw(minute, null, null, { reading, ...keys });

test('a part reading that fits three birds infers nobody by itself', () => {
  assert.equal(inferredFrom([part(1, { 'left tibia': ['metal'] })]).size, 0);
});

test('in one group the two that are named elsewhere in it leave only the third', () => {
  const metal = { 'left tibia': ['metal'] };
  const found = inferredFrom([
    fact('group', 0, { group: 'g', size: 3 }),
    saw(1, 'Sedge', 'by reading', { group: 'g', position: 0, reading: metal }),
    saw(2, 'Samphire', 'by reading', { group: 'g', position: 1, reading: metal }),
    part(3, metal, { group: 'g', position: 2 }),
  ]);
  assert.deepEqual([...found.keys()], [named('Kelp').id]);
  assert.ok(found.get(named('Kelp').id).chance > 0.9 && found.get(named('Kelp').id).chance < 1);
});

test('three part readings of one group name all three, and in three groups none for certain', () => {
  const metal = { 'left tibia': ['metal'] };
  const three = [0, 1, 2].map((i) => part(i + 1, metal, { group: 'g', position: i }));
  assert.deepEqual([...inferredFrom([fact('group', 0, { group: 'g', size: 3 }), ...three]).keys()].sort(), [
    11,
    12,
    13,
  ]);
  assert.equal(inferredFrom([1, 2, 3].map((i) => part(i, metal))).size, 0);
});

test('a doubtful name is weighed as the reading it was, so that the others of its group can settle it', () => {
  const metal = { 'left tibia': ['metal', '*'] };
  const doubtful = saw(3, 'Kelp', 'by reading', {
    group: 'g',
    position: 2,
    reading: metal,
    candidates: ['Sedge', 'Samphire', 'Kelp'].map((name) => ({ bird: named(name).id, chance: 0.33 })),
  });
  assert.equal(inferredFrom([doubtful]).size, 0);
  const seen = ['Sedge', 'Samphire'].map((name, i) => saw(i + 1, name, 'by sight', { group: 'g', position: i }));
  assert.deepEqual([...inferredFrom([fact('group', 0, { group: 'g', size: 3 }), ...seen, doubtful], true).keys()], [
    named('Kelp').id,
  ]);
});

test('a bird that was observed is not inferred, and one that does not count is not either', () => {
  const red = { 'left tibia': ['red'], 'right tibia': ['yellow'] };
  assert.deepEqual([...inferredFrom([part(1, red)]).keys()], [named('Osier').id]);
  assert.equal(inferredFrom([part(1, red), saw(2, 'Osier')]).size, 0);
  assert.equal(inferredFrom([part(1, { 'right tibia': ['blue'], 'left tibia': [] })]).size, 0);
});

test('places looked at in vain drop out and the rest grow', () => {
  const places = [{ id: 4, name: 'north spit' }, { id: 5, name: 'reed edge' }, { id: 6, name: 'rail' }],
    sedge = named('Sedge');
  assert.deepEqual(wherePlaces(sedge, places, new Set()).map(({ name, share }) => [name, Math.round(share * 100)]), [
    ['north spit', 70],
    ['reed edge', 20],
    ['elsewhere', 10],
  ]);
  assert.deepEqual(wherePlaces(sedge, places, new Set([4])).map(({ name, share }) => [name, Math.round(share * 100)]), [
    ['reed edge', 67],
    ['elsewhere', 33],
  ]);
  assert.deepEqual(wherePlaces({ ...sedge, places: { 4: 1 } }, places, new Set([4])), [{
    id: null,
    name: 'elsewhere',
    share: 1,
  }]);
});

test('first letters find a bird, a whole name means it alone, accents and case do not matter', () => {
  const birds = [{ name: 'Sedge' }, { name: 'Sedge Warbler' }, { name: 'Élan' }];
  assert.deepEqual(matching(birds, 'sed').length, 2);
  assert.deepEqual(matching(birds, 'SEDGE'), [birds[0]]);
  assert.deepEqual(matching(birds, 'el'), [birds[2]]);
  assert.deepEqual(matching(birds, '  '), []);
});

test('a bird is found by its number or its name', () => {
  const known = [{ bird: { name: 'Kelp', engraving: 'WB 20409' } }, { bird: { name: 'Sedge', engraving: 'KE 1' } }];
  assert.deepEqual(numbered(known, 'ke').map(({ bird }) => bird.name), ['Kelp', 'Sedge']);
});

test('a flock that changed meanwhile is told', () => {
  const pack = (birds) => ({ flocks: [{ ...FLOCK, birds }] });
  const remarked = { ...BIRDS[0], marks: { 'left tibia': ['metal'], 'right tibia': ['yellow', 'blue'] } };
  assert.equal(changesIn(pack(BIRDS), pack(BIRDS)), '');
  assert.equal(changesIn(pack(BIRDS.slice(1)), pack(BIRDS)), 'Sedge has come into this exhibit.');
  assert.equal(
    changesIn(pack(BIRDS), pack([remarked, ...BIRDS.slice(2)])),
    'Samphire has left this exhibit. Sedge wears other marks now.',
  );
});
