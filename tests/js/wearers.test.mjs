import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { numberFits } from '../../src/tarsus/web/static/shared/matching.js';
import { wearers } from '../../src/tarsus/web/static/shared/wearers.js';

const cases = JSON.parse(readFileSync(new URL('../published/loose_band_cases.json', import.meta.url), 'utf8'));

/** A bird as the pack tells it: bands, flags and numbers by site, and the metal's number. */
function packed({ bands, ...more }) {
  const marks = {}, flags = {}, numbers = {};
  for (const [site, word, number, flag] of bands) {
    (marks[site] ||= []).push(word);
    (flags[site] ||= []).push(flag);
    (numbers[site] ||= []).push(number);
  }
  const metal = bands.find(([, word, number]) => word === 'metal' && number),
    [, , engraving] = metal || bands.find(([, , number]) => number) || ['', '', ''];
  return { ...more, marks, flags, numbers, engraving };
}

for (const { band, number, owners } of cases.finds) {
  test(`whose a loose ${band} band may be${number && `, read ${number}`}`, () => {
    const known = cases.birds.map((bird) => ({ bird: packed(bird) }));
    assert.deepEqual(wearers(known, band, number).map(({ bird, marked }) => [bird.name, marked]), owners);
  });
}

test('a number is found by what could be read of it', () => {
  for (const [engraving, read, fits] of cases.number_fits)
    assert.equal(numberFits(engraving, read), fits, `${read} in ${engraving}`);
});

test('a pack of an earlier day tells the number of the metal alone', () => {
  const known = cases.birds.map((bird) => ({ bird: { ...packed(bird), numbers: undefined } }));
  assert.deepEqual(wearers(known, 'metal', '20441').map(({ bird }) => bird.name), ['Kelp']);
  assert.deepEqual(wearers(known, 'orange', '417'), []);
});
