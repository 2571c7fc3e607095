// A whole house moves by one act: who is ticked as staying, and what is told.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { read, view } from '../../src/tarsus/web/static/page/tell-move.js';

const birds = [
  { id: 7, name: 'Samphire', advice: 'present', whereabouts: '' },
  { id: 8, name: 'Sedge', advice: 'search', whereabouts: '' },
  { id: 9, name: 'Kelp', advice: 'look again', whereabouts: '' },
];
const house = {
  named: { exhibit: 1, bird: null },
  pack: { exhibit: { id: 1, name: 'Shingle Aviary' } },
  exhibits: [{ id: 1, name: 'Shingle Aviary' }, { id: 2, name: 'Heron Wood' }],
  wrong: [],
  bird: (/** @type {number|null} */ id) => birds.find((bird) => bird.id === id),
  birds: () => birds,
};

test('who is searched for is ticked as staying: that a house moved shows nobody', () => {
  const boxes = view(house).text.match(/<input type="checkbox"[^>]*>[^<]*/g) || [];
  assert.deepEqual(boxes.map((box) => box.includes(' checked')), [false, true, false]);
  assert.ok(boxes[1].includes('Sedge, searched for'));
  assert.ok(boxes[2].endsWith('Kelp'));
});

test('whoever stays is told with why, one that is searched for without asking', () => {
  const told = read(house, { to_exhibit: '2', stayed: ['8'], why_not: '' });
  assert.deepEqual(told.keys.came, [7, 9]);
  assert.deepEqual(told.keys.would_not, [{ bird: 8, why: 'searched for' }]);
  const more = read(house, { to_exhibit: '2', stayed: ['8', '9'], why_not: 'would not come down' });
  assert.deepEqual(more.keys.would_not.map(({ why }) => why), ['would not come down', 'would not come down']);
  const seen = read(house, { to_exhibit: '2', stayed: [], why_not: '' });
  assert.deepEqual(seen.keys.came, [7, 8, 9], 'whoever saw it come says so by unticking it');
});
