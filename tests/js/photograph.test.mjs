// The photograph's twin against the same cases as Python's.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';

import { looksOf } from '../../src/tarsus/web/static/shared/photograph-looks.js';
import {
  colourings,
  metalCast,
  photographed,
  readerOfPhotographs,
  tapped,
  whose,
} from '../../src/tarsus/web/static/shared/photograph.js';
import { prepareFlock } from '../../src/tarsus/web/static/shared/reading.js';

const { palette, cases } = JSON.parse(
  readFileSync(new URL('../published/photograph_cases.json', import.meta.url), 'utf8'),
);
const looks = looksOf(palette);
const near = (one, other, within, what) =>
  assert.ok(Math.abs(one - other) <= within, `${what}: ${one} is not ${other}`);

for (const one of cases) {
  test(`a photograph tells what plain loops tell: ${one.name}`, () => {
    const taps = tapped(one.bands, one.metal, one.mean);
    const photo = photographed(looks, taps, one.camera);
    one.chances.forEach((row, at) =>
      row.forEach((chance, k) => near(photo.chances[at][k], chance, 1e-9, `band ${at}, colour ${k}`))
    );
    if (one.metal) metalCast(one.metal).forEach((value, at) => near(value, one.cast[at], 1e-12, 'cast'));
    if (!one.candidates) return;
    const reader = readerOfPhotographs({
      ...one.reader,
      colour: 0,
      confusion: Object.fromEntries(Object.keys(palette).map((name) => [name, { any: 0.5 }])),
    });
    const flock = prepareFlock(one.birds.map((bird, id) => ({ id, marks: bird.marks })), reader);
    const told = whose(flock, photo, one.worn);
    for (const { id, chance } of told.candidates)
      near(chance, one.candidates[one.birds[id].id], 2e-5, one.birds[id].id);
    near(told.noneOfThese, one.none_of_these, 1e-5, 'none of these');
  });
}

test('a band more is one more to fit, and what was kept tells the same', () => {
  const one = cases.find((entry) => entry.bands.length > 1),
    taps = tapped(one.bands, one.metal, one.mean),
    fits = new Map();
  photographed(looks, { ...taps, bands: taps.bands.slice(0, 1) }, undefined, fits);
  const [kept] = fits.values(), photo = photographed(looks, taps, undefined, fits);
  assert.equal(photo.bands[0], kept, 'the same table, not one like it');
  assert.equal(fits.size, one.bands.length);
  assert.deepEqual(photo.chances, photographed(looks, taps).chances);
});

test('joint colourings sum to one, the likeliest first', () => {
  const one = cases.find((entry) => entry.name.startsWith('no metal'));
  const all = colourings(photographed(looks, tapped(one.bands, null, one.mean)));
  near(all.reduce((sum, { share }) => sum + share, 0), 1, 1e-12, 'sum');
  assert.ok(all.every(({ share }, at) => !at || share <= all[at - 1].share));
});

test('what may mislead is said', () => {
  const good = [[[200, 30, 30]], [[20, 60, 200]]], grey = [[120, 121, 119], [120, 121, 119], [120, 121, 119]];
  const said = (bands, metal) => tapped(bands, metal, 0.2).doubts;
  assert.deepEqual(said(good, grey), []);
  assert.deepEqual(said([[[44, 10, 10]], good[1]], grey), ['too dark']);
  assert.deepEqual(said([[[250, 30, 30], [249, 30, 30]], good[1]], grey), ['clipped']);
  assert.deepEqual(said(good, null), ['no metal tapped']);
  assert.deepEqual(said(good, Array(9).fill([251, 252, 250])), ['metal burnt out']);
  assert.deepEqual(said(good, Array(3).fill([200, 120, 60])), ['strong coloured light']);
  assert.deepEqual(said([good[0]], grey), ['tap all bands']);
});
