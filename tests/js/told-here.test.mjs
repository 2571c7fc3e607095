import assert from 'node:assert/strict';
import { test } from 'node:test';
import { afterAnswer } from '../../src/tarsus/web/static/shared/outbox.js';
import { asToldHere, sharesAsToldHere } from '../../src/tarsus/web/static/shared/told-here.js';
import { BIRDS, fact, FLOCK, named } from './made/shingle.mjs';

const pack = (id = 1, flocks = [{ ...FLOCK, kinds: [{ id: 3, name: 'Pied avocet' }] }]) => ({
  exhibit: { id, name: '', places: [] },
  made_at: '2026-06-11T07:00:00+01:00',
  flocks,
  person: { id: 3 },
});
const entry = (one, fate = 'kept') => ({ fact: one, fate, order: 1, reason: '' });
const told = (facts, of = pack(), others = []) => asToldHere(of, facts, others);
const death = (keys) => fact('death', 5, { exhibit: 1, ...keys });
const kelp = named('Kelp').id;

test('a bird told dead leaves the tiles and the count at once, before anybody heard of it', () => {
  const [flock] = told([entry(death({ bird: kelp }))]).flocks;
  assert.equal(flock.counted, 4);
  assert.ok(!flock.birds.some(({ id }) => id === kelp));
  assert.equal(flock.birds.length, BIRDS.length - 1);
});

test('a carcase that nobody can name lowers the count and takes nobody off the tiles', () => {
  const [flock] = told([entry(death({ bird: null, species: 3 }))]).flocks;
  assert.deepEqual([flock.counted, flock.carcases, flock.birds.length], [4, 1, BIRDS.length]);
  assert.equal(told([entry(death({ bird: null, species: 4 }))]).flocks[0].counted, 5, 'another species');
  assert.equal(told([entry(death({ bird: null, species: 3, exhibit: 2 }))]).flocks[0].counted, 5, 'another exhibit');
});

test('what the pack knows already is not taken off twice, and what was refused has not happened', () => {
  const before = { ...death({ bird: null, species: 3 }), at: '2026-06-11T06:30:00+01:00' };
  assert.equal(told([entry(before, 'heard')]).flocks[0].counted, 5, 'heard before the pack was made: it is in it');
  assert.equal(told([entry(before)]).flocks[0].counted, 4, 'not sent yet: it is not');
  assert.equal(told([entry(death({ bird: kelp }), 'refused')]).flocks[0].counted, 5);
  const dead = death({ bird: kelp });
  assert.equal(told([entry(dead), entry(fact('withdrawn', 9, { corrects: dead.id }))]).flocks[0].counted, 5);
});

test('a death that was told before the pack was made and heard after it stays told, until a pack knows it', () => {
  const dead = { ...death({ bird: kelp }), at: '2026-06-11T06:30:00+01:00' };
  const heard = (heardAt) => told([{ ...entry(dead, 'heard'), heardAt }]).flocks[0];
  assert.deepEqual([heard('2026-06-11T07:10:00+01:00').counted, heard('2026-06-11T06:50:00+01:00').counted], [4, 5]);
  const [sent] = afterAnswer([entry(dead)], [{ id: dead.id, outcome: 'written' }], '2026-06-11T07:10:00+01:00');
  assert.deepEqual([sent.heardAt, told([sent]).flocks[0].counted], ['2026-06-11T07:10:00+01:00', 4]);
});

test('a house that moved is gone from where it was and there where it went, but for who would not', () => {
  const move = entry(
    fact('moved', 5, { came: [11, 12, 13, 16], would_not: [{ bird: 14, why: '' }], from_exhibit: 1, to_exhibit: 2 }),
  );
  const [left] = told([move]).flocks;
  assert.deepEqual([left.counted, left.birds.map(({ name }) => name)], [2, ['Chert', 'Osier']]);
  const [there] = told([move], pack(2, []), [pack()]).flocks;
  assert.deepEqual([there.counted, there.birds.map(({ name }) => name)], [3, ['Bracken', 'Kelp', 'Samphire', 'Sedge']]);
});

test('a missing bird is looked for and not counted on, and counts again once it is found', () => {
  const gone = entry(fact('whereabouts', 5, { bird: kelp, state: 'escaped' }));
  const [flock] = told([gone]).flocks, bird = flock.birds.find(({ id }) => id === kelp);
  assert.deepEqual([flock.counted, bird.counted, bird.whereabouts], [4, false, 'escaped']);
  const back = entry(fact('whereabouts', 9, { bird: kelp, state: 'found again' }));
  assert.deepEqual([told([gone, back]).flocks[0].counted, told([back]).flocks[0].counted], [5, 5]);
});

test('a pack of which nothing was told is the same pack', () => {
  const same = pack();
  assert.equal(told([entry(fact('weighed', 3, { bird: kelp }))], same), same);
});

test('whoever shares their practice does so from the tap on, until a pack was made after the server heard it', () => {
  const of = (shares) => ({ ...pack(), person: { id: 5, shares_practice: shares } });
  const tap = (on, at, by = 5) => fact('practice_sharing', 0, { by, on, at: `2026-06-11T${at}:00+01:00` });
  assert.equal(sharesAsToldHere(of(true), []), true);
  assert.equal(sharesAsToldHere(of(false), [entry(tap(true, '06:30'))]), true, 'not sent yet');
  const heard = (fact_, at) => ({ ...entry(fact_, 'heard'), heardAt: `2026-06-11T${at}:00+01:00` });
  assert.equal(
    sharesAsToldHere(of(false), [heard(tap(true, '06:30'), '07:10')]),
    true,
    'tapped before the pack was made, heard after',
  );
  assert.equal(
    sharesAsToldHere(of(false), [heard(tap(true, '06:30'), '06:31')]),
    false,
    'taken back elsewhere, and the pack knows',
  );
  assert.equal(
    sharesAsToldHere(of(true), [entry(tap(false, '07:20')), entry(tap(true, '07:10'))]),
    false,
    'the latest tap',
  );
  assert.equal(
    sharesAsToldHere(of(false), [entry(tap(true, '07:20'), 'refused'), entry(tap(true, '07:20', 6))]),
    false,
    'refused, or another person',
  );
});
