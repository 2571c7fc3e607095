import assert from 'node:assert/strict';
import { test } from 'node:test';
import { tile } from '../../src/tarsus/web/static/page/roll-call-pieces.js';

const shown = (keys, how = {}) =>
  tile({
    bird: { id: 5, name: 'Aspen', marks: {}, natural_marks: [], advice: 'present', ...keys },
    form: 'tall',
    act: 'see-by-sight',
    seen: false,
    ...how,
  }).text.replace(/<svg.*?<\/svg>/gs, '').replace(/<[^>]*>/g, ' ').replace(/\s+/g, ' ').trim();

test('a bird on search carries the word on its tile until it is seen', () => {
  assert.equal(shown({ advice: 'search' }), 'Aspen Search');
  assert.equal(shown({ advice: 'search' }, { seen: true }), 'Aspen , seen');
  assert.equal(shown({ advice: 'search' }, { once: true }), 'Aspen search, read once: look again');
  assert.equal(shown({ advice: 'look again' }), 'Aspen');
});

test('a bird under the vet’s eye carries what is to be done, or else what its case is about', () => {
  const lame = { case: 1, about: 'lame, right', of: 1, do: '' }, watch = { ...lame, case: 2, do: 'Watch it feed.' };
  assert.equal(shown({ cases: [lame] }), 'Aspen Vet: lame, right');
  assert.equal(shown({ cases: [lame, watch] }), 'Aspen The vet: Watch it feed.');
  assert.equal(
    shown({ advice: 'search', cases: [watch, { ...watch, case: 3 }] }),
    'Aspen Search The vet: Watch it feed. and 1 more',
  );
  assert.equal(shown({ cases: [lame] }, { seen: true }), 'Aspen Vet: lame, right , seen');
});
