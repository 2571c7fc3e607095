// @ts-check
// Whether two colours look alike to somebody: oftener taken for each other in practice than is expected of them. It is
// said to that person only, and nothing of it is kept unless they say so.

import { encoded, linear } from './photograph-looks.js';

/** @typedef {import('./pack.js').Marks} Marks */
/** @typedef {{pair: [string, string], times: number, of: number}} Alike */

/** A tap beside the right name, as a share of bands; so few confusions say nothing; how rare by chance, over all pairs.
 * Ours. */
const SLIP = 0.02, FEWEST = 3, RARE = 0.01;

/** The chance of so many or more of n at a share. @param {number} times @param {number} of @param {number} share
 * @returns {number} */
export function tail(times, of, share) {
  let term = (1 - share) ** of, below = 0;
  for (let k = 0; k < times; k += 1) {
    below += term;
    term *= ((of - k) / (k + 1)) * (share / (1 - share));
  }
  return Math.max(0, 1 - below);
}

/** The one band in which two birds differ, or null where they differ in more or in number. @param {Marks} shown
 * @param {Marks} said
 * @returns {[string, string]|null} */
export function differIn(shown, said) {
  const sites = new Set([...Object.keys(shown), ...Object.keys(said)]), found = [];
  for (const site of sites) {
    const a = shown[site] || [], b = said[site] || [];
    if (a.length !== b.length) return null;
    for (let at = 0; at < a.length; at += 1)
      if (a[at] !== b[at]) found.push(/** @type {[string, string]} */ ([a[at], b[at]]));
  }
  return found.length === 1 && !found[0].includes('metal') ? found[0] : null;
}

/**
 * Pairs of colours that somebody takes for each other, the surest first.
 * @param {import('./practice.js').Answered[]} answers @param {Map<number, Marks>} marks  of the birds here
 * @param {Record<string, Record<string, number>>} expected  how often a colour is taken for another, by the reader
 * @returns {Alike[]}
 */
export function alikeToYou(answers, marks, expected) {
  /** @type {Map<string, number>} */
  const seen = new Map();
  /** @type {Map<string, number>} */
  const taken = new Map();
  for (const { bird, said } of answers) {
    const shown = marks.get(bird), named = said === null ? undefined : marks.get(said);
    const differs = shown && named && bird !== said ? differIn(shown, named) : null;
    if (!shown || !named || (bird !== said && !differs)) continue;
    for (const band of Object.values(shown).flat()) seen.set(band, (seen.get(band) || 0) + 1);
    if (differs) {
      const key = [...differs].sort().join('\n');
      taken.set(key, (taken.get(key) || 0) + 1);
    }
  }
  const colours = Object.keys(expected), pairs = Math.max(1, (colours.length * (colours.length - 1)) / 2);
  const found = [...taken].map(([key, times]) => {
    const [a, b] = /** @type {[string, string]} */ (key.split('\n')), of = (seen.get(a) || 0) + (seen.get(b) || 0);
    const share = Math.max(expected[a]?.[b] || 0, expected[b]?.[a] || 0) + SLIP;
    return { pair: /** @type {[string, string]} */ ([a, b]), times, of, rare: tail(times, of, share) };
  });
  return found.filter(({ times, rare }) => times >= FEWEST && rare < RARE / pairs).sort((a, b) => a.rare - b.rare).map((
    { pair, times, of },
  ) => ({ pair, times, of }));
}

/** What eyes without one kind of cone make of linear red, green and blue (Machado, Oliveira & Fernandes 2009, IEEE TVCG
 * 15:1291-1298, severity 1). @type {Record<string, number[][]>} */
const WITHOUT = {
  deutan: [[0.367322, 0.860646, -0.227968], [0.280085, 0.672501, 0.047413], [-0.01182, 0.04294, 0.968881]],
  protan: [[0.152286, 1.052583, -0.204868], [0.114503, 0.786281, 0.099216], [-0.003882, -0.048116, 1.051998]],
  tritan: [[1.255528, -0.076749, -0.178779], [-0.078411, 0.930809, 0.147602], [0.004733, 0.691367, 0.3039]],
};

/** The eyes to which two colours look most alike. @param {[string, string]} pair
 * @param {Record<string, string>} palette
 * @returns {string} */
export function eyesFor(pair, palette) {
  const [one, other] = pair.map((name) =>
    [1, 3, 5].map((at) => linear(parseInt((palette[name] || '#808080').slice(at, at + 2), 16)))
  );
  const apart = (/** @type {number[][]} */ eyes) =>
    Math.hypot(...eyes.map((row) => {
      const [a, b] = [one, other].map((colour) =>
        encoded(Math.min(1, Math.max(0, row.reduce((sum, weight, at) => sum + weight * colour[at], 0))))
      );
      return a - b;
    }));
  return Object.keys(WITHOUT).reduce((best, name) => (apart(WITHOUT[name]) < apart(WITHOUT[best]) ? name : best));
}
