import assert from 'node:assert/strict';
import { test } from 'node:test';
import { readFileSync } from 'node:fs';
import * as certainty from '../../src/tarsus/web/static/shared/certainty.js';
import { moreWorrying } from '../../src/tarsus/web/static/shared/missing.js';
import * as words from '../../src/tarsus/web/static/shared/words.js';
import { named } from './made/shingle.mjs';

const cases = JSON.parse(readFileSync(new URL('../published/words_cases.json', import.meta.url), 'utf8'));

const ask = (reading, chances, more = {}) =>
  words.verdict({
    reading,
    candidates: chances.map(([name, chance]) => ({ bird: named(name), chance })),
    noneOfThese: 0.001,
    lookNext: null,
    kind: 'avocet',
    limb: 'leg',
    twoParts: false,
    ...more,
  });

test('every word of certainty begins where it does on the server', () => {
  const { ALMOST_CERTAIN, PROBABLE, DOUBTFUL_BELOW, TOGETHER, NOBODY_FROM } = certainty;
  assert.deepEqual({
    almost_certain: ALMOST_CERTAIN,
    probable: PROBABLE,
    doubtful_below: DOUBTFUL_BELOW,
    together: TOGETHER,
    nobody_from: NOBODY_FROM,
  }, cases.numbers);
});

test("numbers, per cents and plurals are the server's", () => {
  for (const [n, says] of cases.in_words) assert.equal(words.inWords(n), says);
  for (const [one, many] of cases.plural) assert.equal(words.plural(one), many);
  for (const [word, n, says] of cases.counted) assert.equal(words.counted(word, n), says);
  for (const { chance, says } of cases.per_cent) assert.equal(words.percent(chance), says);
});

test("who it is is said in the server's words", () => {
  for (const { site, two_parts, says } of cases.look) assert.equal(words.lookWords(site, two_parts), says);
  for (const { chances, several } of cases.together)
    assert.equal(words.together(chances.map((chance) => ({ chance }))), several);
  for (const one of cases.who) {
    const candidates = one.candidates.map(([name, chance]) => ({ name, chance }));
    const said = certainty.whoItIs(candidates, one.none_of_these, one.look_next, {
      kind: one.kind,
      twoParts: one.two_parts,
    });
    assert.deepEqual(said, { kind: one.is, say: one.say, look: one.look, several: one.several });
  }
});

test("advice, days unseen and the order of worry are the server's", () => {
  for (const one of cases.advice) {
    const bird = { ...named('Sedge'), advice: one.advice, excused: one.excused, unseen_days: 0, max_unseen_days: 3 };
    assert.deepEqual(words.adviceWords(bird, one.by_count, one.unseen), {
      word: one.word,
      search: one.search,
      look: one.look,
    });
  }
  for (const { days, ever_seen, says } of cases.unseen) {
    assert.equal(
      words.unseenWords({
        ...named('Sedge'),
        unseen_days: days,
        last_seen: ever_seen ? { at: '', place: null, how: 'by sight' } : null,
      }),
      says,
    );
  }
  const birds = cases.worry.birds.map(({ search, by_count, ...bird }) => ({ search, missing: by_count, bird }));
  assert.deepEqual(birds.sort(moreWorrying).map(({ bird }) => bird.name), cases.worry.order);
});

test('a word of certainty comes with its number and names what does not fit', () => {
  assert.equal(ask({ 'right tibia': ['red', 'white'] }, [['Samphire', 0.98]]).say, 'Almost certainly Samphire, 98 %.');
  const v = ask({ 'left tibia': ['metal'], 'right tibia': ['yellow', 'lime'] }, [['Sedge', 0.89], ['Kelp', 0.04]]);
  assert.deepEqual([v.kind, v.say, v.quiet], ['sure', 'Probably Sedge, 89 %.', 'Its green was read as lime.']);
});

test('where nobody fits, that is said first, then the nearest with what would have gone wrong', () => {
  const v = ask({ 'left tibia': ['metal'], 'right tibia': ['lime'] }, [['Kelp', 0.97], ['Sedge', 0.02]]);
  assert.deepEqual([v.kind, v.say, v.quiet], [
    'none',
    'Fits no avocet here.',
    'Nearest: Kelp, 97 %. Its yellow is missing: lost, or overlooked.',
  ]);
  const open = ask({ 'right tibia': ['lime', '*'] }, [['Kelp', 0.7], ['Sedge', 0.2]]);
  assert.equal(open.say, 'Fits no avocet here.');
});

test('a leg that may carry more fits whoever wears more; a leg that ends does not', () => {
  assert.equal(
    ask({ 'right tibia': ['yellow', '*'] }, [['Sedge', 0.48], ['Kelp', 0.48], ['Osier', 0.04]]).say,
    'One of two.',
  );
  assert.match(ask({ 'right tibia': ['green', '*'] }, [['Sedge', 0.9]]).say, /^Fits no avocet/);
  assert.match(
    ask({ 'right tibia': ['red'] }, [['Samphire', 0.9]]).quiet,
    /^Nearest: Samphire, 90 %. Its white is missing/,
  );
});

test('exchanged legs fit nobody as read, and somebody where the side is not sure', () => {
  const crossed = { 'left tibia': ['red', 'white'] };
  assert.equal(ask(crossed, [['Samphire', 0.96]]).quiet, 'Nearest: Samphire, 96 %. Then the legs were swapped.');
  assert.equal(ask({ ...crossed, swap: 0.2 }, [['Samphire', 0.96]]).kind, 'none');
  const unsure = ask({ ...crossed, swap: 0.5 }, [['Samphire', 0.96]]);
  assert.deepEqual([unsure.say, unsure.quiet], ['Almost certainly Samphire, 96 %.', '']);
});

test('several stay several, with where to look; never a bare winner', () => {
  const v = ask({ 'left tibia': ['metal'] }, [['Sedge', 0.33], ['Samphire', 0.33], ['Kelp', 0.33], ['Chert', 0.01]], {
    lookNext: 'right tibia',
  });
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
