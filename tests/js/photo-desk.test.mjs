// One photograph on a phone: an answer belongs to the taps it was asked for, and a picture of now is soon one of
// before.
import assert from 'node:assert/strict';
import test from 'node:test';

import { wholeOf } from '../../src/tarsus/web/static/shared/open-leg.js';

const asked = [];
let broken = () => undefined;
globalThis.HTMLElement = class {};
globalThis.customElements = { define: () => undefined };
globalThis.document = { querySelectorAll: () => [] };
globalThis.Worker = class extends EventTarget {
  constructor() {
    super();
    broken = () => this.dispatchEvent(new Event('error'));
  }

  postMessage({ id }) {
    asked.push((said) => this.dispatchEvent(Object.assign(new Event('message'), { data: { id, ...said } })));
  }
};
const { PhotoDesk } = await import('../../src/tarsus/web/static/page/photo-desk.js');

const OF = {
  birds: [],
  kind: 'bird',
  sites: ['left leg', 'right leg'],
  whole: wholeOf([]),
  limb: 'leg',
  palette: {},
  faded: {},
  reader: {},
  strangers: 0,
  asked: '',
};
const ANSWER = {
  doubts: [],
  names: [],
  chances: [],
  candidates: [{ id: 7, chance: 0.98 }],
  noneOfThese: 0.02,
  reading: {},
  lookNext: null,
};
const settled = () =>
  new Promise((resolve) => {
    setImmediate(resolve);
  });

function tapped() {
  const desk = new PhotoDesk(() => undefined), data = new Uint8ClampedArray(40 * 40 * 4).fill(120);
  desk.picture = { source: null, pixels: { width: 40, height: 40, data }, mean: 0.2, width: 40, height: 40 };
  desk.tap(OF, { x: 20, y: 20, reach: 6 });
  return desk;
}

test('an answer is told of the taps it was asked for', async () => {
  const desk = tapped();
  asked.pop()({ answer: ANSWER });
  await settled();
  assert.equal(desk.answer.candidates[0].id, 7);
});

test('an answer to taps that are gone is not told of the next picture, nor of no taps', async () => {
  for (
    const gone of [(desk) => desk.clear(), (desk) => desk.retake(), (desk) => desk.say(OF, { ...desk.told, taps: [] })]
  ) {
    const desk = tapped();
    gone(desk);
    asked.pop()({ answer: ANSWER });
    await settled();
    assert.equal(desk.answer, null);
  }
});

test('what cannot be weighed is said once, and not asked again until something else is told', async () => {
  const desk = tapped(), said = [];
  desk.failed = (error) => {
    said.push(error.message);
    desk.ask(OF);
  };
  asked.pop()({ trouble: 'no such colour' });
  await settled();
  assert.deepEqual([said, asked.length], [['no such colour'], 0]);
  desk.tap(OF, { x: 10, y: 10, reach: 6 });
  assert.equal(asked.length, 1);
  broken();
  await settled();
  assert.match(said[1], /cannot be weighed on this phone/);
  asked.length = 0;
  desk.tap(OF, { x: 30, y: 30, reach: 6 });
  asked.pop()({ answer: ANSWER });
  await settled();
  assert.equal(desk.answer.candidates.length, 1);
});

test('a picture of now that lies open is no picture of now later', (context) => {
  context.mock.timers.enable({ apis: ['Date'], now: 1e12 });
  const desk = new PhotoDesk(() => undefined);
  desk.dated = { exif: null, modified: 1e12, camera: true };
  assert.equal(desk.taken.fresh, true);
  context.mock.timers.tick(11 * 60000);
  assert.equal(desk.taken.fresh, false);
});
