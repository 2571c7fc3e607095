import assert from 'node:assert/strict';
import { test } from 'node:test';
import { readFileSync } from 'node:fs';
import * as certainty from '../../src/tarsus/web/static/shared/certainty.js';
import { moreWorrying } from '../../src/tarsus/web/static/shared/missing.js';
import { explain } from '../../src/tarsus/web/static/shared/misfit.js';
import * as words from '../../src/tarsus/web/static/shared/words.js';
import { named } from './made/shingle.mjs';

const cases = JSON.parse(readFileSync(new URL('../published/words_cases.json', import.meta.url), 'utf8'));

const ask = (reading, chances, more = {}) => words.verdict({
  reading, candidates: chances.map(([name, chance]) => ({ bird: named(name), chance })), noneOfThese: 0.001, lookNext: null,
  kind: 'avocet', limb: 'leg', twoParts: false, ...more,
});

test('every word of certainty begins where it does on the server', () => {
  const { ALMOST_CERTAIN, PROBABLE, DOUBTFUL_BELOW, TOGETHER, NOBODY_FROM } = certainty;
  assert.deepEqual({ almost_certain: ALMOST_CERTAIN, probable: PROBABLE, doubtful_below: DOUBTFUL_BELOW, together: TOGETHER, nobody_from: NOBODY_FROM }, cases.numbers);
});

test('numbers, per cents and plurals are the server\'s', () => {
  for (const [n, says] of cases.in_words) assert.equal(words.inWords(n), says);
  for (const [one, many] of cases.plural) assert.equal(words.plural(one), many);
  for (const [word, n, says] of cases.counted) assert.equal(words.counted(word, n), says);
  for (const { chance, says } of cases.per_cent) assert.equal(words.percent(chance), says);
});

test('who it is is said in the server\'s words', () => {
  for (const { site, two_parts, says } of cases.look) assert.equal(words.lookWords(site, two_parts), says);
  for (const { chances, several } of cases.together) assert.equal(words.together(chances.map((chance) => ({ chance }))), several);
  for (const one of cases.who) {
    const candidates = one.candidates.map(([name, chance]) => ({ name, chance }));
    const said = certainty.whoItIs(candidates, one.none_of_these, one.look_next, { kind: one.kind, twoParts: one.two_parts });
    assert.deepEqual(said, { kind: one.is, say: one.say, look: one.look, several: one.several });
  }
});

test('advice, days unseen and the order of worry are the server\'s', () => {
  for (const one of cases.advice) {
    const bird = { ...named('Sedge'), advice: one.advice, excused: one.excused, unseen_days: 0, max_unseen_days: 3 };
    assert.deepEqual(words.adviceWords(bird, one.by_count, one.unseen), { word: one.word, search: one.search, look: one.look });
  }
  for (const { days, ever_seen, says } of cases.unseen) {
    assert.equal(words.unseenWords({ ...named('Sedge'), unseen_days: days, last_seen: ever_seen ? { at: '', place: null, how: 'by sight' } : null }), says);
  }
  const birds = cases.worry.birds.map(({ search, by_count, ...bird }) => ({ search, missing: by_count, bird }));
  assert.deepEqual(birds.sort(moreWorrying).map(({ bird }) => bird.name), cases.worry.order);
});

test('a word of certainty comes with its number and names what does not fit', () => {
  const v = ask({ 'left tibia': ['metal'], 'right tibia': ['lime'] }, [['Kelp', 0.89], ['Sedge', 0.04]]);
  assert.deepEqual([v.kind, v.say, v.quiet], ['sure', 'Probably Kelp, 89 %.', 'Its yellow is missing: lost, or overlooked.']);
  assert.equal(ask({ 'right tibia': ['red', 'white'] }, [['Samphire', 0.98]]).say, 'Almost certainly Samphire, 98 %.');
});

test('an unfinished stack is told as such, and what it hides is not called missing', () => {
  assert.equal(words.stackWords(['red', '*'], 'leg'), 'red, perhaps more below');
  assert.equal(words.stackWords(['*', '?', 'blue'], 'leg'), 'perhaps more above, a colour not made out over blue');
  assert.equal(words.stackWords(['red', '*', '*', 'blue'], 'leg'), 'red, perhaps more between, blue');
  assert.deepEqual([words.stackWords(['*', '*'], 'leg'), words.stackWords([], 'leg')], ['bands not made out', 'whole leg seen, bare']);
  const marks = { 'right tibia': ['red', 'white'] };
  assert.equal(explain(marks, { 'right tibia': ['red', '*'], swap: 0.5 }), null);
  assert.equal(explain(marks, { 'right tibia': ['blue', '*'] })?.say, 'Its record has no blue there.');
});

test('several stay several, with where to look; never a bare winner', () => {
  const v = ask({ 'left tibia': ['metal'] }, [['Sedge', 0.33], ['Samphire', 0.33], ['Kelp', 0.33], ['Chert', 0.01]], { lookNext: 'right tibia' });
  assert.deepEqual([v.say, v.look, v.several], ['One of three.', 'Look at the right leg.', 3]);
});

test('a reading that fits nobody says which band is probably missing', () => {
  const v = ask({ 'left tibia': ['metal'], 'right tibia': ['green'] }, [['Sedge', 0.3]], { noneOfThese: 0.7 });
  assert.deepEqual([v.say, v.quiet], ['Fits no avocet here.', 'If it is Sedge, its yellow is lost or misread.']);
});

test('nothing read yet asks for a leg, or a wing', () => {
  assert.equal(ask({ 'left tibia': null }, []).say, 'Tap what one leg wears.');
  assert.equal(ask({}, [], { limb: 'wing' }).say, 'Tap what one wing wears.');
});

test('legs exchanged, a colour for another and an order turned over are told apart', () => {
  const sedge = named('Sedge').marks;
  assert.match(explain(sedge, { 'left tibia': ['yellow', 'green'], 'right tibia': ['metal'] }).say, /left and right were mixed up/);
  assert.equal(explain(sedge, { 'right tibia': ['yellow', 'lime'] }).say, 'Its green was read as lime.');
  assert.equal(explain(sedge, { 'right tibia': ['green', 'yellow'] }).say, 'Its bands were read in another order.');
  assert.equal(explain(sedge, { 'left tibia': ['metal', 'red'] }).say, 'Its record has no red there.');
  assert.equal(explain(sedge, { 'right tibia': ['yellow', '?'] }), null);
  assert.equal(explain(sedge, { 'left tibia': [] }).say, 'Its metal is missing: lost, or overlooked.');
});

test('the count is set against the roll', () => {
  assert.deepEqual(words.countWords(29, 28), { amiss: true, say: 'One short.', more: '29 on the roll, 28 counted.' });
  assert.equal(words.countWords(29, 29).say, 'All 29 on the roll.');
  assert.deepEqual(words.countWords(29, 31), { amiss: true, say: 'Two more than the roll.', more: 'Count again.' });
  assert.equal(words.countWords(29, null).more, '29 on the roll, not counted yet.');
});

test('search never disappears because a model is optimistic', () => {
  const sure = { ...named('Sedge'), unseen_days: 3, max_unseen_days: 3, advice: 'present', still_here: 0.9999 };
  assert.deepEqual(words.adviceWords(sure, false), { word: 'Search', search: true, look: false });
  assert.equal(words.adviceWords(sure, true).word, 'Search, look now');
  assert.equal(words.adviceWords(named('Sedge'), true).word, 'Look now');
  assert.equal(words.adviceWords({ ...named('Sedge'), advice: 'look again' }, false).word, 'Look again');
});
