// @ts-check
// The words that the roll call says, with the number beside each word of certainty.

import { stackRead } from './band-words.js';
import { explain } from './misfit.js';
import { anySeen } from './sides.js';

/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {import('./pack.js').Form} Form */
/** @typedef {import('./pack.js').Reading} Reading */

const NUMBERS = ['none', 'one', 'two', 'three', 'four', 'five', 'six', 'seven', 'eight', 'nine', 'ten', 'eleven',
  'twelve', 'thirteen', 'fourteen'];

/** Chances at which a word of certainty starts; a share of the candidates that is worth naming together. */
const ALMOST_CERTAIN = 0.95, PROBABLE = 0.8, TOGETHER = 0.95;

/** A number in words up to fourteen, in figures above. @param {number} n @returns {string} */
export const inWords = (n) => NUMBERS[n] || String(n);

/** @param {string} text @returns {string} */
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** The plural of a bird's common name. @param {string} word @param {number} n @returns {string} */
export function counted(word, n) {
  if (n === 1) return word;
  return /(?:s|x|ch|sh)$/.test(word) ? `${word}es` : `${word}s`;
}

/** A chance in whole per cent, never 0 and never 100. @param {number} chance @returns {string} */
export function percent(chance) {
  if (chance > 0.9949) return '> 99 %';
  return chance < 0.01 ? '< 1 %' : `${Math.round(chance * 100)} %`;
}

/** A stack in a sentence: yellow over green; bare where the whole limb was seen to carry nothing.
 * @param {string[]} bands @param {string} limb @returns {string} */
export function stackWords(bands, limb) {
  return bands.length ? stackRead(bands) : `whole ${limb} seen, bare`;
}

/** Which site to look at, in words. @param {string} site @param {boolean} twoParts  tibia and tarsus are both used
 * @returns {string} */
export function lookWords(site, twoParts) {
  const [side, part] = site.split(' ');
  if (part === 'wing') return `Look at the ${side} wing.`;
  if (!twoParts) return `Look at the ${side} leg.`;
  return `Look ${part === 'tibia' ? 'above' : 'below'} the joint of the ${side} leg.`;
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

/** How many of the likeliest birds together carry nearly all of the birds' chance.
 * @param {{chance: number}[]} candidates  likeliest first @returns {number} */
export function together(candidates) {
  const all = candidates.reduce((sum, one) => sum + one.chance, 0);
  let mass = 0, n = 0;
  while (n < candidates.length && mass < TOGETHER * all) { mass += candidates[n].chance; n += 1; }
  return n;
}

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
  const best = candidates[0];
  const look = lookNext ? { look: lookWords(lookNext, twoParts), lookSite: lookNext } : {};
  if (!best || noneOfThese > 0.5) {
    const amiss = best ? explain(best.bird.marks, reading) : null;
    const quiet = best ? `If it is ${best.bird.name}, ${amiss ? amiss.ifSo : 'a band is lost or misread.'}` : '';
    return { ...said, ...look, kind: 'none', say: `Fits no ${kind} here.`, quiet };
  }
  const several = together(candidates);
  if (best.chance > PROBABLE) {
    const word = best.chance > ALMOST_CERTAIN ? 'Almost certainly' : 'Probably';
    const quiet = explain(best.bird.marks, reading)?.say || '';
    return { ...said, kind: 'sure', say: `${word} ${best.bird.name}, ${percent(best.chance)}.`, quiet, several };
  }
  return { ...said, ...look, kind: 'several', say: `One of ${inWords(Math.max(several, 2))}.`, several };
}

/** How the count stands to the roll. @param {number} roll @param {number|null} count
 * @returns {{amiss: boolean, say: string, more: string}} */
export function countWords(roll, count) {
  if (count === null) return { amiss: false, say: '', more: `${roll} on the roll, not counted yet.` };
  const short = roll - count;
  if (short === 0) return { amiss: false, say: `All ${roll} on the roll.`, more: '' };
  if (short > 0) return { amiss: true, say: `${capital(inWords(short))} short.`, more: `${roll} on the roll, ${count} counted.` };
  return { amiss: true, say: `${capital(inWords(-short))} more than the roll.`, more: 'Count again.' };
}

/** Why fewer are to be counted than are on the list. @param {number} carcases @returns {string} */
export function carcaseWords(carcases) {
  const one = carcases === 1;
  return `${capital(inWords(carcases))} ${one ? 'carcase' : 'carcases'} without bands: nobody knows yet which ${one ? 'bird it was' : 'birds they were'}.`;
}

/** How long a bird was unseen before this round, in words. @param {Bird} bird @returns {string} */
export function unseenWords(bird) {
  if (!bird.last_seen) return 'never seen here yet';
  if (bird.unseen_days <= 0) return 'missed this round only';
  return `unseen ${bird.unseen_days} ${counted('day', bird.unseen_days)}`;
}

/**
 * The advice about a bird that was not seen in this round. Nothing takes *search* away: not a model, not a count.
 * @param {Bird} bird @param {boolean} missing  the count is short, and this may well be one that it lacks
 * @returns {{word: string, search: boolean, look: boolean}}
 */
export function adviceWords(bird, missing) {
  if (bird.excused) return { word: `Not looked for: ${bird.excused}`, search: false, look: false };
  const search = bird.advice === 'search' || bird.unseen_days >= bird.max_unseen_days;
  if (search) return { word: missing ? 'Search, look now' : 'Search', search: true, look: missing };
  if (missing) return { word: 'Look now', search: false, look: true };
  // Nobody who was not seen is called present: what the model thinks of it is no word for a keeper's list.
  return bird.advice === 'look again' ? { word: 'Look again', search: false, look: true } : { word: '', search: false, look: false };
}
