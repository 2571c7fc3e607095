import assert from 'node:assert/strict';
import { test } from 'node:test';
import { aboutAddress, asOf, roundIsOpen, sourceOf, waitsHere } from '../../src/tarsus/web/static/shared/offline.js';
import { fact, saw } from './made/shingle.mjs';

const asked = (path, more = {}) => sourceOf({ method: 'GET', path, navigates: true, staticAt: '/static/1/', ...more });

test('one shell serves every exhibit, and what changes something always goes to the network', () => {
  assert.deepEqual(asked('/exhibits/4/roll-call/'), asked('/exhibits/17/roll-call/'));
  assert.equal(asked('/exhibits/4/roll-call/').kind, 'shell');
  assert.equal(asked('/exhibits/4/roll-call/', { method: 'POST' }).kind, 'network');
  assert.equal(asked('/facts', { method: 'POST', navigates: false }).kind, 'network');
});

test('a pack and a fact are never answered from the cache; files of the build are', () => {
  assert.equal(asked('/exhibits/4/pack.json', { navigates: false }).kind, 'network');
  assert.equal(asked('/static/1/page/roll-call.js', { navigates: false }).kind, 'static');
  assert.equal(asked('/static/2/page/roll-call.js', { navigates: false }).kind, 'network');
});

test('Today is kept as last known; every other page has a stand-in; the sign-in page clears what was kept', () => {
  assert.deepEqual(
    ['/', '/roll-call/', '/birds/3/', '/settings/people/', '/sign-in/'].map((path) => asked(path).kind),
    ['page', 'page', 'elsewhere', 'elsewhere', 'signed out'],
  );
});

const NOW = Date.parse('2026-06-11T08:00:00+01:00');
const entry = (one, fate = 'kept') => ({ fact: one, fate, order: 1, reason: '' });
const began = fact('round_started', 0, { exhibit: 1, round: 'mine' });
const pack = (told = []) => ({ exhibit: { id: 1 }, told, flocks: [] });
const theirs = fact('round_started', 0, { exhibit: 1, round: 'theirs', by: 7 });

test('a round that this phone began is open until it is closed, with or without a pack', () => {
  assert.equal(roundIsOpen([entry(began, 'heard')], [pack()], NOW), true);
  assert.equal(roundIsOpen([entry(began)], [], NOW), true);
  assert.equal(roundIsOpen([entry(began), entry(fact('round_closed', 9, { round: 'mine' }))], [pack()], NOW), false);
  assert.equal(roundIsOpen([], [pack()], NOW), false);
});

test('a round of another phone is open here once this phone has told of it', () => {
  assert.equal(roundIsOpen([], [pack([theirs])], NOW), false);
  assert.equal(roundIsOpen([entry({ ...saw(1, 'Sedge'), round: 'theirs' })], [pack([theirs])], NOW), true);
  assert.equal(
    roundIsOpen([entry({ ...saw(1, 'Sedge'), round: 'theirs' })], [
      pack([theirs, fact('round_closed', 9, { round: 'theirs', by: 7 })]),
    ], NOW),
    false,
  );
});

test('a round forgotten open yesterday holds up nothing today', () => {
  assert.equal(roundIsOpen([entry({ ...began, at: '2026-06-10T07:30:00+01:00' })], [pack()], NOW), false);
});

test('a page as last known says how old it is', () => {
  const minutes = (n) => asOf(NOW - n * 60000, NOW, false);
  assert.deepEqual(
    [1, 40, 180, 5000].map(minutes),
    ['1 minute', '40 minutes', '3 hours', '3 days'].map((ago) => `No connection: as last known, ${ago} ago.`),
  );
  assert.equal(minutes(0.2), 'No connection: as last known, a moment ago.');
  assert.equal(
    asOf(NOW - 90 * 60000, NOW, true),
    'As last known, 2 hours ago; still asking the server.',
    'a slow server is no missing connection',
  );
});

test('an address says what a pack may know of it', () => {
  assert.deepEqual(aboutAddress('/birds/17/'), { kind: 'bird', id: 17, lookalike: '' });
  assert.deepEqual(aboutAddress('/birds/17/move/'), { kind: 'bird', id: 17, lookalike: '' });
  assert.deepEqual(aboutAddress('/exhibits/4/sheet.pdf'), { kind: 'exhibit', id: 4, lookalike: '' });
  assert.deepEqual(aboutAddress('/flocks/4/barnacle%20goose/'), {
    kind: 'exhibit',
    id: 4,
    lookalike: 'barnacle goose',
  });
  assert.deepEqual(aboutAddress('/settings/'), { kind: 'other', id: 0, lookalike: '' });
});

test('the sign-in page says how many facts wait, and nothing where none do', () => {
  assert.equal(waitsHere({ kept: 0, refused: 0 }), '');
  assert.equal(waitsHere({ kept: 1, refused: 0 }), '1 fact waits on this phone: sent once somebody has signed in.');
  assert.equal(
    waitsHere({ kept: 12, refused: 2 }),
    '12 facts wait on this phone: sent once somebody has signed in, 2 of them to mend.',
  );
  assert.equal(
    waitsHere({ kept: 0, refused: 0, sealed: 1 }),
    '1 fact waits sealed on this phone: sent once whoever told it has signed in.',
  );
  assert.equal(
    waitsHere({ kept: 0, refused: 0, sealed: 2 }),
    '2 facts wait sealed on this phone: sent once whoever told them has signed in.',
  );
  assert.match(waitsHere({ kept: 1, refused: 0, sealed: 2 }), /^1 fact waits on this phone.* 2 facts wait sealed/);
});
