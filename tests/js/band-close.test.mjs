// The close drawing is cut to the banded part: its letters keep their size, whatever is worn.
import assert from 'node:assert/strict';
import { test } from 'node:test';

import { draw, paletteOf } from '../../src/tarsus/web/static/shared/band-drawing.js';

const palette = paletteOf({ yellow: '#ffd60a', green: '#0b7038', red: '#c8102e' }, {
  yellow: 'Y',
  green: 'G',
  red: 'R',
});
const bird = {
  form: 'tall',
  at: 'close',
  palette,
  marks: { 'left tibia': ['metal'], 'right tibia': ['yellow', 'green'] },
};
const sizes = (svg) => [...svg.matchAll(/font-size="([\d.]+)"/g)].map(([, size]) => Number(size));
const height = (svg) => Number(svg.match(/height="([\d.]+)"/)[1]);

test('a band’s letter is 13 px or more, one unit a pixel, with one band or with four', () => {
  for (const bands of [['red'], ['red', 'green'], ['red', 'green', 'yellow'], ['red', 'green', 'yellow', 'metal']]) {
    for (
      const [form, site] of [['legs', 'right leg'], ['tall', 'right tibia'], ['wings', 'right wing'], [
        'told',
        'right leg',
      ]]
    ) {
      const svg = draw({ form, at: 'close', palette, marks: { [site]: bands } });
      assert.match(svg, /width="74"/);
      assert.equal(sizes(svg).length, bands.length);
      assert.ok(sizes(svg).every((size) => size >= 13), `${form}: ${sizes(svg)}`);
    }
  }
});

test('more bands make it taller', () => {
  const of = (bands) => height(draw({ ...bird, marks: { 'right tibia': bands } }));
  assert.ok(of(['red', 'green', 'yellow']) > of(['red']));
});

test('left and right stand in words on the side where the leg is; quiet, none do', () => {
  const words = (svg) =>
    [...svg.matchAll(/class="side-word (start|end)"[^>]*>(left|right)</g)].map(([, at, word]) => `${at} ${word}`);
  assert.deepEqual(words(draw(bird)), ['start left', 'end right']);
  assert.deepEqual(words(draw({ ...bird, facing: 'me' })), ['end left', 'start right']);
  assert.deepEqual(words(draw({ ...bird, quiet: true })), []);
});

test('what was not seen is no bare leg', () => {
  const svg = draw({ form: 'legs', at: 'close', reading: true, palette, marks: { 'right leg': [] } });
  assert.match(svg, /class="unseen"/);
  assert.match(svg, /class="nil"/);
});

test('the sign of a faded band leaves its letter free', () => {
  for (const at of ['close', 'figure']) {
    const svg = draw({ ...bird, at, marks: { 'right tibia': ['red'] }, flags: { 'right tibia': ['faded'] } });
    const [, x, size] = svg.match(/<text x="([\d.]+)"[^>]*font-size="([\d.]+)"[^>]*>R</).map(Number);
    const [, from, to, on, end] = svg.match(/class="bleach" d="M([\d.]+) [\d.]+H([\d.]+)M([\d.]+) [\d.]+H([\d.]+)"/)
      .map(Number);
    assert.ok(from < to && to <= x - size / 2 && on >= x + size / 2 && on < end, `${at}: ${[from, to, x, on, end]}`);
  }
});
