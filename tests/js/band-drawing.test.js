// The band drawing is pure: what it says and what it shows is tested as text.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';

import { chip, draw, inWords, key, paletteOf } from '../../src/tarsus/web/static/shared/band-drawing.js';
import { contrast, letterOf } from '../../src/tarsus/web/static/shared/palette.js';
import { tallyRule } from '../../src/tarsus/web/static/shared/tally-rule.js';

const hexes = {
  red: '#c8102e',
  orange: '#f27d00',
  yellow: '#ffd60a',
  green: '#0b7038',
  'pale blue': '#93d0f5',
  blue: '#1b4dbf',
  purple: '#6a2a92',
  white: '#ffffff',
  black: '#151515',
  brown: '#6b4320',
};
const palette = paletteOf(hexes, {
  red: 'R',
  orange: 'O',
  yellow: 'Y',
  green: 'G',
  'pale blue': 'P',
  blue: 'B',
  black: 'N',
});
const sedge = { marks: { 'left tibia': ['metal'], 'right tibia': ['yellow', 'green'] }, form: 'tall', palette };

/** Letters with the x of their middle, in the order drawn. */
const letters = (svg) =>
  [...svg.matchAll(/<text x="([\d.]+)" y="([\d.]+)" font-size[^>]*>(.)<\/text>/g)].map(([, x, y, letter]) => ({
    letter,
    x: Number(x),
    y: Number(y),
  }));
const label = (svg) => svg.match(/<svg[^>]*aria-label="([^"]*)"/)[1];

test('the marks are said in words, the bird’s own sides, from the body outward', () => {
  assert.equal(label(draw(sedge)), 'metal on the left, yellow over green on the right');
  assert.equal(
    label(draw({ ...sedge, at: 'figure', name: 'Sedge' })),
    'Sedge: metal on the left, yellow over green on the right; the bird faces away',
  );
});

test('words are the server’s own words', () => {
  const cases = JSON.parse(readFileSync(new URL('./marks-in-words.json', import.meta.url), 'utf8'));
  assert.ok(cases.length > 5);
  for (const { marks, form, words } of cases) assert.equal(inWords({ marks, form }), words);
});

test('a site not seen is no bare site', () => {
  const reading = { marks: { 'right leg': [] }, reading: true, form: 'legs', palette };
  assert.equal(label(draw(reading)), 'left not seen, bare on the right');
  const svg = draw({ ...reading, at: 'figure' });
  const [left, right] = ['left leg', 'right leg'].map((site) => svg.split(`data-site="${site}"`)[1].split('</g>')[0]);
  assert.match(left, /class="unseen"/);
  assert.match(right, /class="nil"/);
  assert.doesNotMatch(right, /class="unseen"/);
});

test('facing away its left stands on your left; facing you the drawing is mirrored and nothing else', () => {
  for (const at of ['close', 'figure']) {
    const middle = at === 'close' ? 37 : 120;
    const away = letters(draw({ ...sedge, at }));
    const me = letters(draw({ ...sedge, at, facing: 'me' }));
    assert.ok(away.find((b) => b.letter === 'm').x < middle);
    assert.ok(me.find((b) => b.letter === 'm').x > middle);
    for (const [i, band] of away.entries()) {
      assert.equal(me[i].letter, band.letter);
      assert.equal(me[i].y, band.y);
      assert.ok(Math.abs(me[i].x - (2 * middle - band.x)) < 0.02);
    }
  }
});

test('yellow over green: yellow is nearer the body', () => {
  const [yellow, green] = ['Y', 'G'].map((letter) => letters(draw(sedge)).find((band) => band.letter === letter));
  assert.ok(yellow.y < green.y);
  assert.equal(yellow.x, green.x);
});

test('walking, the near leg is larger, and which side it is stays said', () => {
  const width = (svg, site) =>
    Number(svg.split(`data-site="${site}"`)[1].match(/class="shell"[^>]*width="([\d.]+)"/)[1]);
  const metalBoth = { marks: { 'left leg': ['metal'], 'right leg': ['metal'] }, at: 'figure', palette };
  const left = draw({ ...metalBoth, facing: 'left' });
  const right = draw({ ...metalBoth, facing: 'right' });
  assert.ok(width(left, 'left leg') > width(left, 'right leg'));
  assert.ok(width(right, 'right leg') > width(right, 'left leg'));
  assert.match(left, /<tspan x="0" y="214">left<\/tspan> <tspan x="0" y="238">near</);
  assert.match(right, /<tspan x="0" y="214">left<\/tspan> <tspan x="0" y="238">far</);
});

test('a park’s own colour is drawn with its own hex and a letter that can be read', () => {
  const own = paletteOf({ 'sea teal': '#0f6f78' }, { 'sea teal': 'T' });
  const svg = draw({ marks: { 'left leg': ['sea teal'] }, palette: own });
  assert.match(svg, /class="shell" fill="#0f6f78"/);
  assert.match(svg, /fill="#ffffff">T<\/text>/);
  for (const [name, { hex, ink }] of palette) assert.ok(contrast(hex, ink) >= 4.5, name);
});

test('a colour without a letter shows its first, a colour not made out a question mark', () => {
  assert.equal(letterOf('brown', palette), 'B');
  assert.equal(letterOf('?', palette), '?');
  assert.equal(letterOf('metal', palette), 'm');
  assert.match(draw({ marks: { 'left leg': ['?'] }, palette }), /is-unsure/);
});

test('on black-and-white paper blue, purple, black and brown are solid, the others not', () => {
  const dark = [...palette].filter(([, colour]) => colour.dark).map(([name]) => name);
  assert.deepEqual(dark.sort(), ['black', 'blue', 'brown', 'purple']);
});

test('worn, faded, lost and tied bands are told in the drawing and in words', () => {
  const bird = {
    marks: { 'left leg': ['metal', 'orange'], 'right leg': ['yellow', 'green'] },
    palette,
    flags: { 'left leg': ['', 'tie'], 'right leg': ['worn faded', 'lost'] },
  };
  const svg = draw(bird);
  assert.equal(label(svg), 'metal over orange (tie) on the left, yellow (worn, faded) over green (lost) on the right');
  for (const part of ['tie', 'nick', 'bleach', 'strike', 'is-lost'])
    assert.match(svg, new RegExp(`class="[^"]*${part}`));
});

test('as input every site is a button that says what it shows', () => {
  const svg = draw({ ...sedge, at: 'figure', input: true, active: 'right tibia', look: 'left tibia' });
  assert.match(svg, /role="group"/);
  assert.match(
    svg,
    /role="button" tabindex="0" aria-pressed="true" aria-label="right leg above the joint: yellow over green"/,
  );
  assert.match(svg, /aria-pressed="false" aria-label="left leg above the joint: metal"/);
  assert.equal(svg.match(/class="aim"/g).length, 1);
  assert.equal(svg.match(/class="look"/g).length, 1);
});

test('four bands on one site keep letters of a readable size', () => {
  const sizes = (svg) => [...svg.matchAll(/font-size="([\d.]+)"/g)].map(([, size]) => Number(size));
  const four = ['red', 'blue', 'yellow', 'black'];
  for (const [form, site] of [['legs', 'left leg'], ['tall', 'left tibia'], ['tall', 'left leg']]) {
    const found = sizes(draw({ marks: { [site]: four }, form, palette }));
    assert.equal(found.length, 4);
    for (const size of found) assert.ok(size >= 13, `${form}, ${site}: ${size}`);
  }
});

test('every band that is worn is drawn, wherever it sits', () => {
  const everywhere = { 'left tibia': ['red'], 'left leg': ['metal'], 'right tibia': ['blue'], 'right leg': ['green'] };
  for (const at of ['close', 'figure']) {
    for (const form of ['legs', 'tall', 'told']) {
      const drawn = letters(draw({ marks: everywhere, form, at, palette })).map(({ letter }) => letter);
      assert.deepEqual(drawn.filter((letter) => 'RmBG'.includes(letter)).sort(), ['B', 'G', 'R', 'm'], `${form} ${at}`);
    }
    const penguin = { 'left wing': ['orange'], 'right leg': ['metal'] };
    const drawn = letters(draw({ marks: penguin, form: 'wings', at, palette })).map(({ letter }) => letter);
    assert.deepEqual(drawn.sort(), ['O', 'm'], `wings ${at}`);
  }
});

test('a name cannot break out of the drawing', () => {
  const svg = draw({ ...sedge, name: '"><script>' });
  assert.doesNotMatch(svg, /<script>/);
  assert.match(svg, /&quot;&gt;&lt;script&gt;/);
});

test('a key shows one leg and says nothing by itself', () => {
  const svg = key({ bands: ['yellow', 'green'], palette });
  assert.match(svg, /aria-hidden="true"/);
  assert.deepEqual(letters(svg).map(({ letter }) => letter), ['Y', 'G']);
  assert.match(key({ bands: [], palette }), /class="nil"/);
  assert.match(chip('red', palette), /aria-label="red"/);
});

test('the tally rule has one tick a bird: tall seen, hollow inferred, short unseen', () => {
  const svg = tallyRule({ of: 27, seen: 19, inferred: 2 });
  const ticks = (kind) => (svg.match(new RegExp(`class="${kind}"`, 'g')) ?? []).length;
  assert.deepEqual([ticks('t-sure'), ticks('t-near'), ticks('t-todo'), ticks('t-ten')], [19, 2, 6, 2]);
  assert.match(svg, /aria-label="19 of 27 seen, 2 inferred"/);
});

test('no drawing carries a style attribute, which the content policy refuses', () => {
  for (const form of ['legs', 'tall', 'wings', 'told']) {
    for (const at of ['close', 'figure']) {
      assert.doesNotMatch(draw({ form, at, palette, marks: {}, pins: [{ x: 70, y: 60 }] }), /style=|<script|on\w+=/);
    }
  }
});
