import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { wrongDay } from '../../src/tarsus/web/static/shared/days.js';

const { cases } = JSON.parse(readFileSync(new URL('../published/day_cases.json', import.meta.url), 'utf8'));

for (const { name, first, ahead, today, said, wrong } of cases) {
  test(`a day is judged as the server judges it: ${name}`, () =>
    assert.equal(wrongDay({ first, ahead }, said, today), wrong));
}

test('what is no day is said to be none', () => {
  assert.equal(
    wrongDay({ first: '1900-01-01', ahead: 1 }, 'soon', '2026-06-11'),
    "'soon' is no day; write it as 2026-03-01",
  );
});
