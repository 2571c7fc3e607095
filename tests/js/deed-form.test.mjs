import assert from 'node:assert/strict';
import { test } from 'node:test';
import { asked, house, read } from '../../src/tarsus/web/static/shared/deed-form.js';

const TODAY = '2026-06-11';
const field = (name, kind, more = {}) => ({
  name,
  kind,
  label: name,
  required: false,
  longest: 0,
  low: null,
  high: null,
  first: null,
  ahead: null,
  choices: [],
  unit: '',
  hint: '',
  initial: null,
  instead_of: '',
  ...more,
});
const DEATH = {
  name: 'death',
  fields: [
    field('bird', 'bird'),
    field('species', 'species', { instead_of: 'bird' }),
    field('exhibit', 'exhibit', { required: true }),
    field('found_by', 'line', { required: true, longest: 12 }),
    field('euthanised', 'flag'),
    field('grams', 'number', { low: 0.1, high: 900, unit: 'g' }),
    field('fed', 'flag', { initial: 'unsaid' }),
  ],
};

test('what was filled in becomes the fields of a fact, and what was left out stays out', () => {
  const { keys, wrong } = read(
    DEATH,
    { bird: '14', exhibit: '2', found_by: ' Nell ', euthanised: false, grams: '310,5', fed: '' },
    {},
    TODAY,
  );
  assert.deepEqual(wrong, []);
  assert.deepEqual(keys, { bird: 14, exhibit: 2, found_by: 'Nell', euthanised: false, grams: 310.5 });
});

test('what is wrong is said at its field, with the remedy', () => {
  const says = (filled) =>
    read(DEATH, { bird: '1', exhibit: '2', found_by: 'Nell', ...filled }, {}, TODAY).wrong.map((one) =>
      `${one.name}: ${one.says}`
    );
  assert.deepEqual(says({ found_by: '' }), ['found_by: found_by: is empty']);
  assert.deepEqual(says({ found_by: 'Nell and all of the others' }), [
    'found_by: found_by: has 26 characters; write at most 12',
  ]);
  assert.deepEqual(says({ grams: 'heavy' }), ['grams: grams: heavy is no number']);
  assert.deepEqual(says({ grams: '9000' }), ['grams: grams: write 0.1 to 900 g']);
});

test('a day that nobody plans for is said at its field', () => {
  const NOTE = { name: 'case_note', fields: [field('see_again_on', 'day', { first: '2000-01-01', ahead: 731 })] };
  assert.deepEqual(read(NOTE, { see_again_on: '2026-07-01' }, {}, TODAY), {
    keys: { see_again_on: '2026-07-01' },
    wrong: [],
  });
  const { keys, wrong } = read(NOTE, { see_again_on: '2062-07-01' }, {}, TODAY);
  assert.deepEqual(keys, {});
  assert.equal(wrong[0].says, 'see_again_on: 2062-07-01 lies too far ahead; give 2000-01-01 to 2028-06-11');
});

test('a carcase without a bird needs its species', () => {
  assert.deepEqual(read(DEATH, { exhibit: '2', found_by: 'Nell' }, {}, TODAY).wrong.map(({ name }) => name), [
    'species',
  ]);
  assert.deepEqual(read(DEATH, { exhibit: '2', found_by: 'Nell', species: '3' }, {}, TODAY).wrong, []);
  assert.deepEqual(asked(DEATH, { bird: 14 }).map(({ name }) => name).includes('species'), false);
});

test('a whole house: everybody came but those who would not, each with the reason', () => {
  assert.deepEqual(house([1, 2, 3], new Map([[2, 'on eggs']])), {
    came: [1, 3],
    would_not: [{ bird: 2, why: 'on eggs' }],
  });
  assert.deepEqual(house([], new Map()), { came: [], would_not: [] });
});
