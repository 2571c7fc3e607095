// @ts-check
// The words that the roll call says, with the number beside each word of certainty.

import { stackRead } from './band-words.js';
import { lookWords, whoItIs } from './certainty.js';
import { explain, fits } from './misfit.js';
import { capital, counted, inWords, percent } from './numbers.js';
import { anySeen } from './sides.js';

export { lookWords, together } from './certainty.js';
export { capital, counted, inWords, percent, plural } from './numbers.js';

/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {import('./pack.js').Form} Form */
/** @typedef {import('./pack.js').Reading} Reading */

/** A stack in a sentence: yellow over green; bare where the whole limb was seen to carry nothing.
 * @param {string[]} bands @param {string} limb @returns {string} */
export function stackWords(bands, limb) {
  return bands.length ? stackRead(bands) : `no bands on this ${limb}`;
}

/**
 * @typedef {object} Verdict
 * @property {'unread'|'none'|'sure'|'several'} kind
 * @property {string} say
 * @property {string} quiet
 * @property {string} look       the sentence that says where to look, or ''
 * @property {string} lookSite   the site it means, or ''
 * @property {number} several    how many candidates carry nearly all of the chance
 */

/**
 * What the answer to a reading is called.
 * @param {object} answer
 * @param {Reading} answer.reading
 * @param {{bird: Bird, chance: number}[]} answer.candidates  likeliest first
 * @param {number} answer.noneOfThese
 * @param {string|null} answer.lookNext
 * @param {string} answer.kind       what the flock is called here, such as avocet
 * @param {string} answer.limb       leg or wing
 * @param {boolean} answer.twoParts
 * @returns {Verdict}
 */
export function verdict({ reading, candidates, noneOfThese, lookNext, kind, limb, twoParts }) {
  /** @type {Verdict} */
  const said = { kind: 'unread', say: `Tap what one ${limb} wears.`, quiet: '', look: '', lookSite: '', several: 0 };
  if (!anySeen(reading)) return said;
  const [best] = candidates, named = candidates.map(({ bird, chance }) => ({ name: bird.name, chance }));
  const told = whoItIs(named, noneOfThese, lookNext, { kind, twoParts }),
    amiss = best ? explain(best.bird.marks, reading) : null;
  if (told.kind !== 'none' && amiss && !candidates.some(({ bird }) => fits(bird.marks, reading))) {
    // Nobody wears what was read: that comes first, however near the nearest is.
    const quiet = `Nearest: ${best.bird.name}, ${percent(best.chance)}. ${amiss.say}`;
    return {
      ...said,
      kind: 'none',
      say: `Fits no ${kind} here.`,
      quiet,
      several: told.several,
      look: lookNext ? lookWords(lookNext, twoParts) : '',
      lookSite: lookNext || '',
    };
  }
  const ifSo = best ? `If it is ${best.bird.name}, ${amiss ? amiss.ifSo : 'a band is lost or misread.'}` : '';
  const quiet = told.kind === 'none' ? ifSo : told.kind === 'sure' ? amiss?.say || '' : '';
  return { ...told, quiet, lookSite: told.look && lookNext ? lookNext : '' };
}

/** How the count stands to the roll. @param {number} roll @param {number|null} count
 * @returns {{amiss: boolean, say: string, more: string}} */
export function countWords(roll, count) {
  if (count === null) return { amiss: false, say: '', more: `${roll} on the roll, not counted yet.` };
  const short = roll - count;
  if (short === 0) return { amiss: false, say: `All ${roll} on the roll.`, more: '' };
  if (short > 0)
    return { amiss: true, say: `${capital(inWords(short))} short.`, more: `${roll} on the roll, ${count} counted.` };
  return { amiss: true, say: `${capital(inWords(-short))} more than the roll.`, more: 'Count again.' };
}

/** Why fewer are to be counted than are on the list. @param {number} carcases @returns {string} */
export function carcaseWords(carcases) {
  const one = carcases === 1;
  return `${capital(inWords(carcases))} ${one ? 'carcase' : 'carcases'} without bands: nobody knows yet which ${
    one ? 'bird it was' : 'birds they were'
  }.`;
}

/** How long a bird was unseen before this round, in words. @param {Bird} bird @returns {string} */
export function unseenWords(bird) {
  if (!bird.last_seen) return 'never seen here yet';
  if (bird.unseen_days <= 0) return 'missed this round only';
  return `unseen ${bird.unseen_days} ${counted('day', bird.unseen_days)}`;
}

/**
 * The advice about a bird. Nothing takes *search* away: not a model, not a count; no unseen bird is called present.
 * The twin of `advice_said` in core/words/looking_for.py.
 * @param {Bird} bird @param {boolean} missing  the count is short, and this may well be one that it lacks
 * @param {boolean} [unseen]  it was not seen when it was last looked for
 * @returns {{word: string, search: boolean, look: boolean}}
 */
export function adviceWords(bird, missing, unseen = bird.unseen_days > 0) {
  if (bird.excused) return { word: `Not looked for: ${bird.excused}`, search: false, look: false };
  const search = bird.advice === 'search' || bird.unseen_days >= bird.max_unseen_days;
  if (search) return { word: missing ? 'Search, look now' : 'Search', search: true, look: missing };
  if (missing) return { word: 'Look now', search: false, look: true };
  if (bird.advice === 'look again') return { word: 'Look again', search: false, look: true };
  // Nobody who was not seen is called present: what the model thinks of it is no word for a keeper's list.
  return { word: unseen ? '' : 'Present', search: false, look: false };
}
