// @ts-check
// The chances at which each word of certainty begins, and what the answer to a reading is called. The twin of
// core/words/certainty.py; tests/published/words_cases.json.

import { inWords, percent } from './numbers.js';

/** Chance from which a name is said without *probably*; from which one name is said at all; under which a name is
 * doubtful and clears nobody; the share of the birds' chance that the candidates named together carry. */
export const ALMOST_CERTAIN = 0.95, PROBABLE = 0.8, DOUBTFUL_BELOW = 0.9, TOGETHER = 0.95, NOBODY_FROM = 0.5;

/** How many of the likeliest birds together carry nearly all of the birds' chance.
 * @param {{chance: number}[]} candidates  likeliest first @returns {number} */
export function together(candidates) {
  const all = candidates.reduce((sum, one) => sum + one.chance, 0);
  let held = 0, n = 0;
  while (n < candidates.length && held < TOGETHER * all) {
    held += candidates[n].chance;
    n += 1;
  }
  return n;
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
 * Who it is, never a bare winner that is not certain.
 * @param {{name: string, chance: number}[]} candidates  likeliest first @param {number} noneOfThese
 * @param {string|null} lookNext @param {{kind: string, twoParts: boolean}} flock  kind: avocet …
 * @returns {{kind: 'none'|'sure'|'several', say: string, look: string, several: number}}
 */
export function whoItIs(candidates, noneOfThese, lookNext, { kind, twoParts }) {
  const look = lookNext ? lookWords(lookNext, twoParts) : '', [best] = candidates;
  if (!best || noneOfThese > NOBODY_FROM) return { kind: 'none', say: `Fits no ${kind} here.`, look, several: 0 };
  const several = together(candidates), says = `${best.name}, ${percent(best.chance)}.`;
  if (best.chance >= ALMOST_CERTAIN) return { kind: 'sure', say: `Almost certainly ${says}`, look: '', several };
  if (best.chance >= PROBABLE) return { kind: 'sure', say: `Probably ${says}`, look, several };
  return { kind: 'several', say: `One of ${inWords(Math.max(several, 2))}.`, look, several };
}
