// What a weight says, by the cases that the Python twin passes as well.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { judged } from '../../src/tarsus/web/static/shared/weights.js';

const { cases, limits } = JSON.parse(readFileSync(new URL('../published/weight_cases.json', import.meta.url), 'utf8'));

test('the phone judges a weight as the register does', () => {
  for (const one of cases) {
    const against = {
      usual_g: one.usual_g,
      before_g: one.before_g ?? null,
      months: one.months || [],
      side_before: one.side_before || 0,
    };
    const said = judged(one.grams, Boolean(one.moulting), against, { ...limits, ...one.limits });
    assert.deepEqual([said.prompt, said.side], [one.prompt, one.side], JSON.stringify(one));
    if (one.says) assert.equal(said.says, one.says);
    if (one.percent === null) assert.equal(said.percent, null);
    else assert.ok(Math.abs(said.percent - one.percent) < 1e-9, JSON.stringify(one));
  }
  assert.ok(cases.length > 30);
});

test('a pack of an older server, which has no weight before, is judged as it was', () => {
  const old = { usual_g: null, months: [], side_before: 0 };
  assert.deepEqual(judged(200, false, old, { ...limits, low_g: 228 }).prompt, 'weigh again');
  assert.deepEqual(judged(240, false, old, { ...limits, low_g: 228 }).prompt, 'nothing');
});
