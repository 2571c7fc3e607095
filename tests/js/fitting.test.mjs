// Fitting what was kept for a bird: band by band, each at its place.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import {
  afterwards,
  fittedFrom,
  nextNumber,
  onTheShelf,
  toFit,
  toTakeOff,
  whyPlanned,
} from '../../src/tarsus/web/static/shared/fitting.js';
import { FITTING, foundBefore, handling, release, takenInHand } from '../../src/tarsus/web/static/shared/in-hand.js';

const band = (id, site, word, more = {}) => ({
  id,
  site,
  word,
  kind: word === 'metal' ? 'metal' : 'colour',
  engraving: '',
  size: '4',
  temporary: false,
  certified: false,
  conditions: [],
  ...more,
});
const SHELF = {
  bands: [{ kind: 'cable tie', colour: 'orange', size: '2.5 mm', amount: 30 }, {
    kind: 'colour',
    colour: 'orange',
    size: '4',
    amount: 3,
  }, { kind: 'metal', colour: '', size: '4', amount: 9 }],
  runs: [{ series: 'WB', size: '4', numbers: ['WB 20445', 'WB 20446'] }],
};
// A chick that has grown: a white tie comes off, orange goes on above the green that stays; metal on the other leg.
const on = (word, more = {}) => ({
  word,
  kinds: word === 'metal' ? ['metal'] : ['colour', 'cable tie'],
  temporary: false,
  ...more,
});
const OSIER = {
  id: 5,
  name: 'Osier',
  species: 'Pied avocet',
  engraving: '',
  transponder: '',
  natural_marks: [],
  marks: {},
  flags: {},
  due: [],
  last_g: [],
  months: [],
  bands: [band(51, 'left tibia', 'white', { temporary: true, kind: 'cable tie' }), band(52, 'left tibia', 'green')],
  planned: {
    marks: { 'left tibia': ['orange', 'green'], 'right tibia': ['metal'] },
    because: '',
    sites: [
      { site: 'left tibia', steps: [{ band: 51, stays: false }, on('orange'), { band: 52, stays: true }] },
      { site: 'right tibia', steps: [on('metal')] },
    ],
  },
};
const [ORANGE, METAL] = toFit(OSIER.planned);
const released = { conditions: new Map([[52, 'good']]), stood: true, walked: true };
const hand = (changes = {}) =>
  Object.assign(takenInHand('2026-06-11T05:30:00.000+01:00', 'banding'), released, changes);
const both = () =>
  new Map([[ORANGE.key, fittedFrom(ORANGE, SHELF.bands[1], {})], [
    METAL.key,
    fittedFrom(METAL, SHELF.bands[2], nextNumber(SHELF, [])),
  ]]);

test('the shelf offers the bands of the kind and colour; a tie only where the leg still grows', () => {
  assert.deepEqual(onTheShelf(SHELF, ORANGE).map(({ kind }) => kind), ['colour', 'cable tie']);
  assert.deepEqual(onTheShelf(SHELF, { ...ORANGE, temporary: true }).map(({ kind }) => kind), ['cable tie', 'colour']);
  assert.deepEqual(onTheShelf(SHELF, on('pink')), []);
});

test('the next number of the run is offered, and the one after it to the next band', () => {
  assert.deepEqual(nextNumber(SHELF, []), { series: 'WB', size: '4', engraving: 'WB 20445' });
  assert.equal(nextNumber(SHELF, ['WB 20445']).engraving, 'WB 20446');
  assert.equal(nextNumber(SHELF, ['WB 20445', 'WB 20446']).engraving, '');
});

test('what is tapped goes on at its place once what is tapped off is off', () => {
  assert.deepEqual(toTakeOff(OSIER).map(({ id }) => [id, whyPlanned(OSIER.bands[0])]), [[51, 'replaced']]);
  const fact = handling(OSIER, hand({ off: new Map([[51, 'replaced']]), on: both() }));
  assert.deepEqual(fact.taken_off, [{ band: 51, why: 'replaced' }]);
  assert.deepEqual(fact.put_on, [
    {
      site: 'left tibia',
      kind: 'colour',
      colour: 'orange',
      size: '4',
      series: null,
      engraving: null,
      temporary: false,
      place: 0,
    },
    {
      site: 'right tibia',
      kind: 'metal',
      colour: null,
      size: '4',
      series: 'WB',
      engraving: 'WB 20445',
      temporary: false,
      place: 0,
    },
  ]);
  assert.deepEqual(fact.bands, [{ band: 52, conditions: ['good'] }], 'nobody looked at the tie that came off');
});

test('a band that stayed on though it was to come off keeps its place', () => {
  const left = hand({
    conditions: new Map([[51, 'good'], [52, 'good']]),
    on: new Map([[ORANGE.key, fittedFrom(ORANGE, SHELF.bands[1], {})]]),
  });
  assert.deepEqual(handling(OSIER, left).put_on.map(({ place }) => place), [1]);
});

test('a bird goes when each new band was looked at and the metal one has its number', () => {
  const off = new Map([[51, 'replaced']]), on = both();
  assert.equal(release(OSIER, hand({ off, on }), [OSIER]).under, 'the new bands: all four checks');
  assert.equal(release(OSIER, hand({ off, on, fitting: new Set(FITTING) }), [OSIER]).ready, true);
  on.set(METAL.key, { ...on.get(METAL.key), engraving: ' ' });
  assert.equal(
    release(OSIER, hand({ off, on, fitting: new Set(FITTING) }), [OSIER]).under,
    'the new metal band: its number',
  );
});

test('a band of the wing comes off for the moult, with that reason', () => {
  const dora = { ...OSIER, planned: null, bands: [band(61, 'left wing', 'pink', { kind: 'wing' })] };
  const fact = handling(dora, hand({ conditions: new Map(), off: new Map([[61, 'moult']]) }));
  assert.deepEqual([fact.taken_off, fact.put_on, fact.bands], [[{ band: 61, why: 'moult' }], [], []]);
});

test('a refused handling opens with what was fitted and taken off', () => {
  const fact = handling(OSIER, hand({ off: new Map([[51, 'replaced']]), on: both(), fitting: new Set(FITTING) }));
  const again = foundBefore(OSIER, { ...fact, chase_started_at: null }, SHELF.bands);
  assert.deepEqual([...again.on.keys()], [ORANGE.key, METAL.key]);
  assert.deepEqual([...again.off], [[51, 'replaced']]);
  assert.deepEqual(handling(OSIER, Object.assign(again, released)).put_on, fact.put_on);
});

test('what this phone fitted and has not sent is gone from its shelf and not offered again', () => {
  const fact = { bird: 5, ...handling(OSIER, hand({ off: new Map([[51, 'replaced']]), on: both() })) };
  const after = afterwards({ shelves: { 'Pied avocet': SHELF }, birds: [OSIER] }, [fact]),
    shelf = after.shelves['Pied avocet'];
  assert.deepEqual(shelf.runs[0].numbers, ['WB 20446']);
  assert.deepEqual(shelf.bands.map(({ amount }) => amount), [30, 2, 8]);
  assert.deepEqual([after.birds[0].planned, after.birds[0].waits], [null, true]);
});
