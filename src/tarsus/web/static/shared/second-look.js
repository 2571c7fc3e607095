// @ts-check
// What a round comes to at its end: the count against the names in one sentence, and who needs a second look. The twin
// of core/words/second_look.py; tests/published/second_look_cases.json.

import { together } from './certainty.js';
import { capital, counted as some, inARow, inWords, percent, plural } from './numbers.js';

/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {{bird: Bird, missing: number, search: boolean}} Unseen   missing: chance to be among those the count lacks
 */

/** What a bird is called that is searched for and was read, once only. */
export const READ_ONCE = 'search, read once: look again';

/** So many of the likeliest are named. */
const NAMED = 3;

/**
 * The unseen birds that need a second look: those on *search* or *look again*, and where the count is short the fewest
 * who together are almost surely the missing ones. A bird that was only missed is looked for by the next round.
 * @template {Unseen} U
 * @param {U[]} unseen @param {number} short  how many the count lacks, 0 where it lacks none or nobody counted
 * @returns {U[]} in the order they came in
 */
export function whoNeedsOne(unseen, short) {
  const looked = unseen.filter(({ bird }) => !bird.excused), among = new Set(short > 0 ? likeliest(looked) : []);
  return looked.filter((one) => one.search || one.bird.advice !== 'present' || among.has(one));
}

/** The fewest who are almost surely the missing ones, likeliest first. @template {Unseen} U @param {U[]} unseen
 * @returns {U[]} */
function likeliest(unseen) {
  const ranked = [...unseen].sort((a, b) => b.missing - a.missing);
  return ranked.slice(0, together(ranked.map(({ missing }) => ({ chance: missing }))));
}

/**
 * The count, the names and the watch in one sentence.
 * @param {object} round
 * @param {number} round.expected   how many a count should find
 * @param {number|null} round.counted
 * @param {Unseen[]} round.unseen   everybody whom nobody saw, inferred birds too
 * @param {number} round.miscount   chance that the count is wrong and nobody is missing
 * @returns {{amiss: boolean, say: string}}
 */
export function comesTo({ expected, counted, unseen, miscount }) {
  const n = unseen.length, they = `${inWords(n)} unseen ${some('bird', n)}`;
  if (counted === null)
    return {
      amiss: false,
      say: n
        ? `Nobody counted, so nobody can say whether the ${they} ${n === 1 ? 'is' : 'are'} here.`
        : 'Every bird was seen.',
    };
  const short = expected - counted;
  if (short < 0)
    return {
      amiss: true,
      say: `${counted} counted, ${inWords(-short)} more than the roll of ${expected}: count again.`,
    };
  if (short === 0)
    return {
      amiss: false,
      say: n
        ? `All ${expected} were counted, so the ${they} ${n === 1 ? 'is' : 'are'} here.`
        : `All ${expected} were counted and seen.`,
    };
  const is = short === 1 ? 'is' : 'are', lead = `${counted} counted of ${expected}`;
  if (short > n)
    return {
      amiss: true,
      say: `${lead}: ${inWords(short)} ${is} missing but ${
        n ? `only ${inWords(n)} unseen` : 'every bird was named'
      }, so count again, or a name is wrong.`,
    };
  const wrong = `unless the count is wrong (${percent(miscount)}): look all the same.`;
  if (short === n) {
    const names = unseen.map(({ bird }) => bird.name), last = names.pop();
    return {
      amiss: true,
      say: `${lead} and nobody saw ${
        names.length ? `${names.join(', ')} or ${last}: they are` : `${last}: it is`
      } missing, ${wrong}`,
    };
  }
  const among = likeliest(unseen).slice(0, NAMED).map(({ bird, missing }) => `${bird.name} (${percent(missing)})`).join(
    ', ',
  );
  return {
    amiss: true,
    say: `${lead}: ${inWords(short)} of the ${they} ${is} missing${among && `, most likely ${among}`}, ${wrong}`,
  };
}

/** Those who need no second look, in a sentence or two; empty where there are none.
 * @param {number} n  merely missed @param {number} excused  not looked for: on a nest, in moult @returns {string} */
export function notListed(n, excused) {
  const sitting = excused ? `${capital(inWords(excused))} ${excused === 1 ? 'is' : 'are'} not looked for.` : '';
  if (!n) return sitting;
  return `${capital(inWords(n))} ${
    n === 1 ? 'other was missed and needs' : 'others were missed and need'
  } no second look. ${sitting}`.trim();
}

/** Which look-alike groups nobody called. @param {string[]} lookalikes @returns {string} */
export const notCalledWords = (lookalikes) => `${capital(inARow(lookalikes.map(plural)))} were not called.`;

/** What a closing leaves out; empty where it leaves out nothing. @param {string[]} lookalikes @returns {string} */
export const withoutWords = (lookalikes) => (lookalikes.length ? `without ${inARow(lookalikes.map(plural))}` : '');

/** Two counts that differ, told beside each other. @param {{who: string, counted: number, at: string}[]} told
 * @param {number} lowest
 * @returns {string} */
export const differWords = (told, lowest) =>
  `${
    inARow(told.map(({ who, counted, at }) => `${who} counted ${counted} at ${at}`))
  }: ${lowest} stands until somebody counts again.`;
