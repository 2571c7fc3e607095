// What is decided while a bird is in hand.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import {
  FITTING,
  found,
  foundBefore,
  handling,
  held,
  release,
  takenInHand,
  weightSays,
  wrongBird,
} from '../../src/tarsus/web/static/shared/in-hand.js';

const band = (id, site, word, engraving = '', kind = word === 'metal' ? 'metal' : 'colour') => ({
  id,
  site,
  word,
  kind,
  engraving,
  size: '4',
  temporary: false,
  certified: false,
  conditions: [],
});
const bird = (id, name, engraving, bands) => ({
  id,
  name,
  species: 'Pied avocet',
  lookalike: 'avocet',
  form: 'tall',
  sex: 'F',
  exhibit: 'Shingle Aviary',
  quarantine: false,
  engraving,
  transponder: `99900012345${id}`,
  chews: false,
  marks: {},
  flags: {},
  natural_marks: [],
  bands,
  planned: null,
  usual_g: 333,
  before_g: null,
  months: [],
  side_before: 0,
  prompt_percent: 5,
  alarm_percent: 10,
  low_g: null,
  high_g: null,
  moulting: false,
  last_g: [],
  due: [],
});
const SEDGE = bird(1, 'Sedge', 'WB 20417', [
  band(11, 'left tibia', 'metal', 'WB 20417'),
  band(12, 'right tibia', 'yellow'),
  band(13, 'right tibia', 'green'),
]);
const KELP = bird(2, 'Kelp', 'WB 20441', [
  band(21, 'left tibia', 'metal', 'WB 20441'),
  band(22, 'right tibia', 'lime'),
]);
const BIRDS = [SEDGE, KELP];
const STARTED = '2026-06-11T05:30:00.000+01:00';
const hand = (changes = {}) => Object.assign(takenInHand(STARTED, 'catch-up'), changes);
const looked = (one, words = {}) => new Map(one.bands.map(({ id }) => [id, words[id] || 'good']));

test('a bird is found by the last signs of its number, by its transponder or by its name', () => {
  assert.deepEqual(found(BIRDS, '417').map(({ name }) => name), ['Sedge']);
  assert.deepEqual(found(BIRDS, 'wb 20441').map(({ name }) => name), ['Kelp']);
  assert.deepEqual(found(BIRDS, '0123452').map(({ name }) => name), ['Kelp']);
  assert.deepEqual(found(BIRDS, 'se').map(({ name }) => name), ['Sedge']);
  assert.deepEqual(found(BIRDS, ' '), []);
});

test('the number of another bird is noticed before anything is saved', () => {
  const wrong = wrongBird(SEDGE, hand({ number: '20441' }), BIRDS);
  assert.equal(wrong.other.name, 'Kelp');
  assert.equal(
    release(SEDGE, hand({ number: '20441', conditions: looked(SEDGE), stood: true, walked: true }), BIRDS).ready,
    false,
  );
  assert.equal(wrongBird(SEDGE, hand({ number: '417' }), BIRDS), null);
});

test('a number of nobody asks to look again, and the keeper may insist', () => {
  const odd = hand({ number: '99999', conditions: looked(SEDGE), stood: true, walked: true });
  assert.match(wrongBird(SEDGE, odd, BIRDS).says, /WB 20417 on record, and you read 99999/);
  assert.equal(release(SEDGE, odd, BIRDS).under, 'which bird is it?');
  assert.equal(release(SEDGE, { ...odd, agreed: true }, BIRDS).ready, true);
});

test('most bands of the record gone is a wrong bird until somebody says otherwise', () => {
  assert.match(
    wrongBird(SEDGE, hand({ conditions: looked(SEDGE, { 12: 'missing', 13: 'missing' }) }), BIRDS).says,
    /2 of 3 bands/,
  );
  assert.equal(wrongBird(SEDGE, hand({ conditions: looked(SEDGE, { 12: 'missing' }) }), BIRDS), null);
});

test('a light weight asks for a second, and a second one or one past the alarm calls the vet', () => {
  const light = hand({ weight: '306' }); // 306 of 333 is 8 per cent under
  assert.deepEqual([weightSays(SEDGE, light).prompt, Math.round(weightSays(SEDGE, light).percent)], [
    'weigh again',
    -8,
  ]);
  assert.equal(weightSays(SEDGE, hand({ first: '306', weight: '307,5' })).prompt, 'tell the vet');
  assert.equal(weightSays(SEDGE, hand({ first: '306', weight: '331' })).prompt, 'nothing');
  assert.equal(weightSays(SEDGE, hand({ weight: '318' })).prompt, 'nothing'); // 4.5 per cent
  assert.equal(weightSays(SEDGE, hand({ weight: '299' })).prompt, 'tell the vet'); // 10.2 per cent
  const lightBefore = { ...SEDGE, side_before: -1 };
  assert.equal(weightSays(lightBefore, light).prompt, 'tell the vet');
  // Fine in between; and over by 7 per cent, which is a crop or an egg.
  assert.equal(weightSays(lightBefore, hand({ first: '331', weight: '306' })).prompt, 'weigh again');
  assert.equal(weightSays(SEDGE, hand({ first: '306', weight: '355' })).prompt, 'nothing');
});

test('a bird in moult is another matter, but a loss past the alarm is told', () => {
  const moulting = { ...SEDGE, moulting: true };
  assert.equal(weightSays(moulting, hand({ weight: '420' })).prompt, 'nothing');
  assert.equal(weightSays(moulting, hand({ weight: '306' })).prompt, 'nothing');
  assert.equal(weightSays(moulting, hand({ weight: '290' })).prompt, 'tell the vet');
});

test('a bird goes when every band was looked at and it stood and walked', () => {
  assert.equal(release(SEDGE, hand(), BIRDS).under, '3 bands not looked at');
  const all = hand({ conditions: looked(SEDGE) });
  assert.equal(release(SEDGE, all, BIRDS).under, 'not yet seen to stand');
  assert.equal(release(SEDGE, { ...all, stood: true }, BIRDS).under, 'not yet seen to walk');
  assert.deepEqual(release(SEDGE, { ...all, stood: true, walked: true }, BIRDS), {
    ready: true,
    under: 'stood and walked',
  });
  assert.equal(release(SEDGE, { ...all, lame: true }, BIRDS).ready, false);
  assert.equal(release(SEDGE, { ...all, lame: true, tellVet: true }, BIRDS).under, 'lame, vet told');
});

test('a new band waits for all four checks', () => {
  const replaced = new Map([[12, { kind: 'colour', colour: 'yellow', size: '4', amount: 3 }]]);
  const one = hand({
    conditions: looked(SEDGE, { 12: 'worn' }),
    replaced,
    stood: true,
    walked: true,
    fitting: new Set(FITTING.slice(0, 3)),
  });
  assert.equal(release(SEDGE, one, BIRDS).ready, false);
  assert.equal(release(SEDGE, { ...one, fitting: new Set(FITTING) }, BIRDS).ready, true);
});

test('what is sent says what was found, taken off and put on, in its place', () => {
  const replaced = new Map([[13, { kind: 'colour', colour: 'green', size: '4', amount: 3 }]]);
  const fact = handling(
    SEDGE,
    hand({
      number: '417',
      conditions: looked(SEDGE, { 12: 'missing', 13: 'worn' }),
      replaced,
      weight: '306',
      first: '305',
      fed: false,
      stood: true,
      walked: true,
    }),
  );
  assert.equal(fact.engraving_read, 'WB 20417');
  assert.deepEqual(fact.taken_off, [{ band: 12, why: 'lost' }, { band: 13, why: 'replaced' }]);
  assert.deepEqual(fact.put_on, [{
    site: 'right tibia',
    kind: 'colour',
    colour: 'green',
    size: '4',
    place: 0,
    temporary: false,
  }]);
  assert.deepEqual([fact.first_weight_g, fact.weight_g, fact.fed], [305, 306, false]);
  assert.deepEqual(fact.bands[0], { band: 11, conditions: ['good'] });
});

test('what was read before the catch goes with the handling as it was read, and nothing where nobody read', () => {
  const reading = { 'left tibia': ['metal', '*'] };
  assert.deepEqual(handling(SEDGE, hand({ before: { reading, on: '' } })).read_before, reading);
  assert.equal(handling(SEDGE, hand()).read_before, null);
});

test('the clock since catching began warns past what the vet allows', () => {
  assert.deepEqual(held(STARTED, new Date('2026-06-11T04:35:59Z'), 6), { clock: '5:59', over: false });
  assert.deepEqual(held(STARTED, new Date('2026-06-11T04:36:01Z'), 6), { clock: '6:01', over: true });
});

test('a refused handling opens again as it was found, and says the same when nothing is changed', () => {
  const stock = [{ kind: 'colour', colour: 'green', size: '4', amount: 3 }];
  const replaced = new Map([[13, stock[0]]]);
  const was = hand({
    number: '417',
    conditions: looked(SEDGE, { 12: 'missing', 13: 'worn' }),
    replaced,
    fitting: new Set(FITTING),
    weight: '306',
    first: '305',
    fed: false,
    before: { reading: { 'right tibia': ['yellow', '*'], swap: 0.2 }, on: 'right tibia' },
    nails: 'trimmed',
    sample: 'blood',
    label: 'S 12',
    stood: true,
    walked: true,
    note: 'calm',
    tellVet: true,
  });
  const fact = handling(SEDGE, was);
  const again = foundBefore(SEDGE, fact, stock);
  assert.deepEqual(handling(SEDGE, again), fact);
  assert.equal(release(SEDGE, again, BIRDS).ready, true);
  assert.equal(foundBefore(SEDGE, handling(SEDGE, hand({ lame: true, tellVet: true })), stock).lame, true);
});
