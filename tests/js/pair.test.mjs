// Two look-alikes side by side: the colours against published figures, what is bracketed, what is told.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import test from 'node:test';

import { drawTogether, labDifference, MATRICES, seenColour } from '../../src/tarsus/web/static/shared/colour-vision.js';
import { drawPair } from '../../src/tarsus/web/static/shared/pair-drawing.js';
import { EYES, formOf, sitesShown, tells, verdictFor } from '../../src/tarsus/web/static/shared/pair.js';
import { paletteOf } from '../../src/tarsus/web/static/shared/palette.js';
import { blurUnits } from '../../src/tarsus/web/static/shared/through-glasses.js';

const published = (name) => JSON.parse(readFileSync(new URL(`../published/${name}`, import.meta.url), 'utf8'));
const PALETTE = paletteOf({ yellow: '#f5c400', green: '#0b7038', lime: '#a6d608', red: '#c8102e', white: '#ffffff' }, {
  yellow: 'Y',
  green: 'G',
  lime: 'L',
  red: 'R',
  white: 'W',
});
const bird = (name, marks) => ({ name, marks });
const CHERT = bird('Chert', { 'left tibia': ['yellow', 'green'], 'right tibia': ['metal'] });
const SEDGE = bird('Sedge', { 'left tibia': ['metal'], 'right tibia': ['yellow', 'green'] });
const KELP = bird('Kelp', { 'left tibia': ['metal'], 'right tibia': ['yellow', 'lime'] });
const says = (one, other) => tells(one, other).map(({ say }) => say);

test('the eyes that lack a cone are the published ones', () => {
  // Source: Machado, Oliveira & Fernandes 2009, severity 1 (in the file).
  const { matrices } = published('machado_matrices.json');
  for (const [eyes, matrix] of Object.entries(MATRICES)) {
    assert.deepEqual(matrix, matrices.find(({ deficiency, severity }) => deficiency === eyes && severity === 1).matrix);
  }
});

test('a colour turns into what the matrix says, worked by hand', () => {
  // Pure red, linear 1, 0, 0: red-deficient eyes see the first column, .152286, .114503 and nothing; sRGB of those,
  // times 255.
  const srgb = (part) => Math.round(255 * (1.055 * part ** (1 / 2.4) - 0.055)).toString(16).padStart(2, '0');
  assert.equal(seenColour('#ff0000', 'protan'), `#${srgb(0.152286)}${srgb(0.114503)}00`);
  assert.equal(seenColour('#c8102e', 'usual'), '#c8102e');
});

test('colours differ as printed', () => {
  // Source: Sharma, Wu & Dalal 2005, table 1 (in the file).
  const { pairs, tolerance } = published('ciede2000_pairs.json');
  assert.equal(pairs.length, 34);
  for (const { one, other, difference } of pairs) {
    assert.ok(
      Math.abs(labDifference(one, other) - difference) <= tolerance,
      `${one} ${other}: ${labDifference(one, other)}`,
    );
  }
});

test('red and green draw together for red-deficient eyes only', () => {
  const [red, brown] = ['#a4301c', '#5a4a10'];
  assert.ok(drawTogether(red, brown, 'protan'));
  assert.ok(!drawTogether(red, brown, 'usual'));
  assert.ok(!drawTogether(red, brown, 'tritan'));
});

test('swapped legs are told once a stack, from the first bird, and bracketed on each bird’s own side', () => {
  assert.deepEqual(says(CHERT, SEDGE), [
    'Yellow over green: on the left leg of Chert, on the right leg of Sedge.',
    'Metal: on the right leg of Chert, on the left leg of Sedge.',
  ]);
  const [stack] = tells(CHERT, SEDGE);
  assert.deepEqual([stack.one, stack.other], [{ site: 'left tibia', at: null }, { site: 'right tibia', at: null }]);
  assert.equal(verdictFor(tells(CHERT, SEDGE), PALETTE, 'protan'), 'No colour decides: the place tells.');
});

test('one band in another’s place is told with its place in the stack', () => {
  assert.deepEqual(says(SEDGE, KELP), ['On the right leg, the lower band: Sedge green, Kelp lime.']);
  assert.deepEqual(says(KELP, SEDGE), ['On the right leg, the lower band: Kelp lime, Sedge green.']);
  assert.deepEqual(tells(SEDGE, KELP)[0].one, { site: 'right tibia', at: 1 });
  assert.equal(verdictFor(tells(SEDGE, KELP), PALETTE, 'usual'), 'Green and lime stay apart.');
});

test('another order, another number of bands and a wing are told as whole stacks', () => {
  assert.deepEqual(says(bird('A', { 'left leg': ['red', 'white'] }), bird('B', { 'left leg': ['white', 'red'] })), [
    'On the left leg: A red over white, B white over red.',
  ]);
  assert.deepEqual(says(bird('A', { 'left wing': ['red'] }), bird('B', { 'left wing': [] })), [
    'On the left wing: A red, B bare.',
  ]);
  assert.deepEqual(
    says(
      bird('A', { 'left tibia': ['red'], 'left leg': ['metal'] }),
      bird('B', { 'left tibia': ['lime'], 'left leg': ['metal'] }),
    ),
    ['On the left leg above the joint: A red, B lime.'],
  );
});

test('to eyes that take one colour for the other, the order and the leg on which they stand tell nothing', () => {
  const palette = paletteOf({ red: '#a4301c', brown: '#5a4a10', white: '#ffffff' }, {
      red: 'R',
      brown: 'B',
      white: 'W',
    }),
    told = (one, other, eyes) => verdictFor(tells(bird('A', one), bird('B', other)), palette, eyes);
  const turned = [{ 'left leg': ['red', 'brown'] }, { 'left leg': ['brown', 'red'] }],
    legs = [{ 'left leg': ['red'], 'right leg': ['brown'] }, { 'left leg': ['brown'], 'right leg': ['red'] }];
  for (const [one, other] of [turned, legs]) {
    assert.equal(told(one, other, 'protan'), 'Red and brown draw together: hard to tell.');
    assert.equal(told(one, other, 'usual'), 'No colour decides: the place tells.');
  }
  const white = [{ 'left leg': ['red', 'white', 'brown'] }, { 'left leg': ['white', 'brown', 'red'] }];
  assert.equal(told(...white, 'protan'), 'No colour decides: the place tells.', 'white has moved');
  assert.equal(
    told({ 'left leg': ['red'] }, { 'right leg': ['red'] }, 'protan'),
    'No colour decides: the place tells.',
    'a bare leg tells',
  );
  assert.equal(
    told({ ...turned[0], 'right leg': ['red'] }, { ...turned[1], 'right leg': ['white'] }, 'protan'),
    'Red and brown draw together; look at the rest.',
  );
});

test('birds alike have nothing to tell', () => {
  assert.deepEqual(tells(SEDGE, { ...SEDGE, name: 'Dock' }), []);
  assert.equal(verdictFor([], PALETTE, 'usual'), 'They wear the same.');
});

test('both are drawn in the form that shows every band of either', () => {
  const low = bird('Low', { 'left leg': ['red'] });
  assert.equal(formOf(low, SEDGE), 'tall');
  assert.deepEqual(sitesShown(low, SEDGE), {
    'left tibia': [],
    'right tibia': [],
    'left leg': ['red'],
    'right leg': [],
  });
});

test('the picture has a bracket a difference on both birds, four pairs of eyes, and no letters far off', () => {
  const svg = drawPair(SEDGE, KELP, PALETTE, 'p');
  assert.equal(svg.match(/class="tell-line"/g).length, 2);
  // The lower of two bands of 38 in a zone of 86 from 46 on: 46 + .35 (86 - 78.5) + 40.5.
  const [y] = svg.match(/M200 ([\d.]+)h7/).slice(1).map(Number);
  assert.ok(Math.abs(y - (46 + 0.35 * 7.5 + 40.5)) < 0.01, `${y}`);
  assert.equal(svg.match(/<section/g).length, EYES.length);
  assert.equal(svg.match(/feGaussianBlur/g).length, EYES.length);
  // The blur: a minute of arc at 30 m through 8 × glasses is 1.09 mm; a band of 7 mm is drawn 38 high.
  const sd = (30000 * Math.tan(Math.PI / 180 / 60)) / 8 / (2 * Math.sqrt(2 * Math.log(2))) / 7 * 38;
  assert.ok(Math.abs(blurUnits(30, 38) - sd) < 1e-12);
  assert.ok(svg.includes(`stdDeviation="${Math.round(sd * 100) / 100}"`));
  assert.ok(svg.includes(seenColour('#0b7038', 'deutan')));
});

test('how often each kind of eyes takes the one for the other stands in its row, and the sources below', () => {
  const svg = drawPair(SEDGE, KELP, PALETTE, 'p', { deutan: 'About 1 reading in 180 names the other.' });
  const rows = svg.split('<section').slice(1);
  assert.deepEqual(rows.map((row) => row.includes('1 reading in 180')), EYES.map(([eyes]) => eyes === 'deutan'));
  for (const source of ['ISO 8596:2017', 'Machado', '8 × glasses']) assert.ok(svg.includes(source), source);
});

test('a name is never markup', () => {
  assert.ok(!drawPair(bird('<b>', SEDGE.marks), KELP, PALETTE, 'p').includes('<b>'));
});
