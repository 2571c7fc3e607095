// The pixels of a tap, and what was tapped as the reader is asked about it.
import assert from 'node:assert/strict';
import test from 'node:test';

import { patchAt } from '../../src/tarsus/web/static/shared/photo-patch.js';
import {
  askedOf,
  nextWhat,
  NO_TAPS,
  onOtherLeg,
  tapsKept,
  withEnd,
  withoutTap,
  withTap,
  wordsOf,
} from '../../src/tarsus/web/static/shared/photo-taps.js';
import { tapped } from '../../src/tarsus/web/static/shared/photograph.js';

const SITES = ['left tibia', 'left leg', 'right tibia', 'right leg'], WHOLE = { 'left tibia': 1, 'right tibia': 2 };

/** A picture of one colour a row of equal parts, from the left. */
function stripes(colours, wide, height = 40) {
  const width = colours.length * wide, data = new Uint8ClampedArray(width * height * 4);
  for (let y = 0; y < height; y += 1)
    for (let x = 0; x < width; x += 1) data.set([...colours[Math.floor(x / wide)], 255], (y * width + x) * 4);
  return { width, height, data };
}

test('a patch keeps to the band that was tapped and leaves its edges out', () => {
  const picture = stripes([[200, 30, 30], [40, 60, 200]], 20), patch = patchAt(picture, 16, 20, 12);
  assert.ok(patch.length > 50);
  assert.ok(patch.every((pixel) => pixel.join() === '200,30,30'));
  const beside = patchAt(picture, 16, 20, 3);
  assert.ok(beside.length < patch.length && beside.length >= 12);
});

test('a band that is darker towards its edge is one band', () => {
  const shaded = stripes([[110, 16, 16], [150, 22, 22], [200, 30, 30], [160, 24, 24]], 6);
  assert.equal(new Set(patchAt(shaded, 14, 20, 11).map(([red]) => red)).size >= 3, true);
});

test('glare is left out, a band that is mostly burnt out is said to be clipped', () => {
  const glare = stripes([[235, 40, 40], [255, 60, 60]], 12), patch = patchAt(glare, 6, 20, 11);
  assert.ok(patch.length && patch.every(([red]) => red < 250));
  const burnt = stripes([[255, 245, 120]], 30);
  assert.ok(
    tapped([patchAt(burnt, 15, 20, 9), [[40, 60, 200]]], [[120, 120, 120], [121, 121, 121], [120, 121, 120]], 0.2)
      .doubts.includes('clipped'),
  );
});

test('a large patch is thinned and a tap beside the picture is none', () => {
  const large = stripes([[90, 90, 90]], 200, 200);
  assert.ok(patchAt(large, 100, 100, 90).length <= 400);
  assert.deepEqual(patchAt(large, 300, 10, 9), []);
});

const tap = (what, site, y) => ({ what, site, x: 10, y, pixels: [[y, y, y]] });
const of = (...taps) => taps.reduce(withTap, NO_TAPS);

test('the metal is asked for first, and then the bands', () => {
  assert.equal(nextWhat(NO_TAPS), 'metal');
  assert.equal(nextWhat(of(tap('white', 'left tibia', 5))), 'band');
});

test('bands stand in the order of the picture, whichever was tapped first, and a leg is open until it is whole', () => {
  const told = of(tap('metal', 'right tibia', 30), tap('band', 'right tibia', 10), tap('band', 'left leg', 50));
  assert.deepEqual(wordsOf(told, { ...WHOLE, 'left leg': 2 }, SITES), {
    'right tibia': ['tap 2', 'metal'],
    'left leg': ['tap 3', '*'],
  });
});

test('nothing more on a leg closes it, and bares what of it was not tapped', () => {
  const told = withEnd(of(tap('band', 'left leg', 50)), 'left leg', SITES);
  assert.deepEqual(wordsOf(told, { 'left leg': 2, 'left tibia': 1 }, SITES), {
    'left leg': ['tap 1'],
    'left tibia': [],
  });
  const more = withTap(told, tap('band', 'left leg', 60));
  assert.deepEqual(wordsOf(more, { 'left leg': 3 }, SITES)['left leg'], ['tap 1', 'tap 2', '*']);
});

test('the first leg is the one that was said, and either where nobody could tell', () => {
  const told = of(tap('metal', 'left tibia', 5), tap('band', 'right tibia', 9), tap('band', 'right tibia', 4));
  const asked = (which) => askedOf({ ...told, which }, WHOLE, SITES);
  const straight = { 'left tibia': ['metal'], 'right tibia': [0, 1] },
    turned = { 'right tibia': ['metal'], 'left tibia': [0, 1] };
  assert.deepEqual(asked('left').layout, straight);
  assert.deepEqual(asked('me right').layout, straight);
  assert.deepEqual(asked('right').layout, turned);
  assert.deepEqual(asked('me left').layout, turned);
  assert.deepEqual([asked('left').swap, asked('').swap, asked('unclear').swap], [undefined, 0.5, 0.5]);
  // The upper band is the one tapped last.
  assert.deepEqual(asked('left').numbers, [3, 2]);
  assert.deepEqual(asked('left').bands, [[[4, 4, 4]], [[9, 9, 9]]]);
});

test('white plumage shows the light and is worn by nobody', () => {
  const asked = askedOf(of(tap('white', 'left tibia', 5), tap('band', 'left tibia', 9)), WHOLE, SITES);
  assert.deepEqual([asked.layout, asked.metal], [{ 'left tibia': [0] }, [[5, 5, 5]]]);
  assert.equal(askedOf(of(tap('white', 'left tibia', 5)), WHOLE, SITES), null);
});

test('a tap is taken off, or set on the other leg', () => {
  const told = of(tap('band', 'left leg', 1), tap('band', 'left leg', 2));
  assert.deepEqual(withoutTap(told, 1).taps.map(({ n }) => n), [2]);
  assert.deepEqual(onOtherLeg(told, 2).taps.map(({ site }) => site), ['left leg', 'right leg']);
});

test('what is kept says where each band sits only where it is sure which leg is which', () => {
  const metal = { what: 'metal', x: 1, y: 30, site: 'right leg', pixels: [[120, 121, 119]] };
  const lower = { what: 'band', x: 1, y: 20, site: 'left tibia', pixels: [[20, 60, 200]] },
    upper = { ...lower, y: 10, pixels: [[200, 30, 30]] };
  const told = withEnd([metal, lower, upper].reduce(withTap, NO_TAPS), 'left tibia', SITES);
  const kept = (which) => {
    const now = { ...told, which };
    return tapsKept(now, askedOf(now, WHOLE, SITES));
  };
  assert.equal(kept('unclear').worn, undefined);
  assert.deepEqual(kept('unclear').bands, [[20, 60, 200], [200, 30, 30]]);
  const { bands, worn } = kept('right');
  assert.deepEqual([worn['right tibia'].map((at) => bands[at]), worn['left leg'][0]], [
    [[200, 30, 30], [20, 60, 200]],
    'metal',
  ]);
});
