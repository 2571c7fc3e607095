import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import {
  comesTo,
  differWords,
  notCalledWords,
  notListed,
  whoNeedsOne,
  withoutWords,
} from '../../src/tarsus/web/static/shared/second-look.js';
import { named } from './made/shingle.mjs';

const cases = JSON.parse(readFileSync(new URL('../published/second_look_cases.json', import.meta.url), 'utf8'));
const unseen = ({ name, missing, search = false, ...more }) => ({ bird: { ...named(name), ...more }, missing, search });

for (const { expected, count, unseen: left, miscount, amiss, say } of cases.comes_to) {
  test(`the count, the names and the watch in one sentence: ${say}`, () => {
    const birds = left.map(([name, missing]) => unseen({ name, missing }));
    assert.deepEqual(comesTo({ expected, counted: count, unseen: birds, miscount }), { amiss, say });
  });
}

for (const one of cases.who) {
  test(`who needs a second look: ${one.is}`, () => {
    assert.deepEqual(whoNeedsOne(one.unseen.map(unseen), one.short).map(({ bird }) => bird.name), one.needs);
  });
}

test('who was only missed is a number, not a list', () => {
  for (const [missed, excused, says] of cases.not_listed) assert.equal(notListed(missed, excused), says);
});

test('which groups nobody called, and what a closing leaves out', () => {
  for (const [groups, says] of cases.not_called) assert.equal(notCalledWords(groups), says);
  for (const [groups, says] of cases.without) assert.equal(withoutWords(groups), says);
});

test('counts that differ are told beside each other, and which of them stands', () => {
  for (const { told, lowest, says } of cases.differ) {
    assert.equal(differWords(told.map(([who, counted, at]) => ({ who, counted, at })), lowest), says);
  }
});
