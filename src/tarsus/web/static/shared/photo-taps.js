// @ts-check
// What was tapped in a photograph: which band sits on which leg, in the order in which they stand, and what the reader
// is asked. A leg stays open while it is read (open-leg.js).

import { ended, withBand, toldBands } from './open-leg.js';
import { NOT_SURE, other } from './sides.js';

/** @typedef {import('./photograph.js').Pixel} Pixel */
/** @typedef {import('./photograph.js').Layout} Layout */
/** @typedef {import('./open-leg.js').Whole} Whole */
/** @typedef {'metal'|'band'|'white'} What   white: plumage, in place of a metal that is burnt out */
/** @typedef {{n: number, what: What, x: number, y: number, site: string, pixels: Pixel[]}} Tap   site: as if the first
 * leg were its left */
/** @typedef {''|'left'|'right'|'me left'|'me right'|'unclear'} Which   which leg the first one is; me: it faces me, and
 * the leg is on my left … */
/** @typedef {{taps: Tap[], whole: Record<string, true>, which: Which, next: number}} Taps   whole: sites of which
 * nothing more is told */

/** @type {Taps} */
export const NO_TAPS = { taps: [], whole: {}, which: '', next: 1 };

/** One tap more. @param {Taps} told @param {Omit<Tap, 'n'>} tap @returns {Taps} */
export function withTap(told, tap) {
  const whole = tap.what === 'white'
    ? told.whole
    : Object.fromEntries(Object.entries(told.whole).filter(([site]) => site !== tap.site));
  return { ...told, taps: [...told.taps, { ...tap, n: told.next }], whole, next: told.next + 1 };
}

/** A tap taken off again. @param {Taps} told @param {number} n @returns {Taps} */
export const withoutTap = (told, n) => ({ ...told, taps: told.taps.filter((tap) => tap.n !== n) });

/** A tap that sits on the other leg. @param {Taps} told @param {number} n @returns {Taps} */
export const onOtherLeg = (told, n) => ({
  ...told,
  taps: told.taps.map((tap) => (tap.n === n ? { ...tap, site: mirrored(tap.site) } : tap)),
});

/** Nothing more on the leg of a site, or nothing at all. @param {Taps} told @param {string} site
 * @param {string[]} sites @returns {Taps} */
export function withEnd(told, site, sites) {
  const side = site.split(' ')[0], own = sites.filter((one) => one.startsWith(side));
  return { ...told, whole: { ...told.whole, ...Object.fromEntries(own.map((one) => [one, true])) } };
}

/** The same site of the other leg. @param {string} site @returns {string} */
export function mirrored(site) {
  const side = /** @type {import('./sides.js').Side} */ (site.split(' ')[0]);
  return site.replace(side, other(side));
}

/** What comes next: the metal first, for it shows the light. @param {Taps} told @returns {What} */
export const nextWhat = ({ taps }) => (taps.some(({ what }) => what !== 'band') ? 'band' : 'metal');

/** The taps as a reading of words, as if the first leg were its left: bands in the order in which they stand, the upper
 * one first.
 * @param {Taps} told @param {Whole} whole @param {string[]} sites @returns {import('./pack.js').Reading} */
export function wordsOf({ taps, whole: over }, whole, sites) {
  /** @type {import('./pack.js').Reading} */
  let reading = {};
  const worn = taps.filter(({ what }) => what !== 'white').sort((a, b) => a.y - b.y);
  for (const tap of worn) reading = withBand(reading, tap.site, tap.what === 'metal' ? 'metal' : `tap ${tap.n}`, whole);
  for (const site of sites) {
    if (over[site])
      reading = {
        ...reading,
        [site]: ended({ [site]: reading[site] ?? [] }, /** @type {any} */ (site.split(' ')[0]), [site])[site],
      };
  }
  return reading;
}

/** Whether anything of a leg was told of which more may come. @param {Taps} told @param {string} site
 * @returns {boolean} */
export const mayEnd = (told, site) => !told.whole[site];

/**
 * What the reader is asked.
 * @param {Taps} told @param {Whole} whole @param {string[]} sites
 * @returns {{bands: Pixel[][], metal: Pixel[]|null, layout: Layout, swap: number|undefined, numbers: number[]}|null}
 * numbers: the
 *   tap of each band; null where nothing was told of any leg
 */
export function askedOf(told, whole, sites) {
  const reading = wordsOf(told, whole, sites), turned = told.which === 'right' || told.which === 'me left';
  const numbers = Object.values(reading).flatMap((words) => toldBands(words)).filter((word) => word !== 'metal').map((
    word,
  ) => Number(word.slice(4)));
  const layout = Object.fromEntries(
    Object.entries(reading).map((
      [site, words],
    ) => [
      turned ? mirrored(site) : site,
      (words || []).map((
        /** @type {string} */ word,
      ) => (word.startsWith('tap ') ? numbers.indexOf(Number(word.slice(4))) : word)),
    ]),
  );
  if (!Object.keys(layout).length) return null;
  const pixelsOf = (/** @type {number} */ n) => /** @type {Tap} */ (told.taps.find((tap) => tap.n === n)).pixels;
  const grey = told.taps.filter(({ what }) => what !== 'band').flatMap(({ pixels }) => pixels);
  const sure = told.which !== '' && told.which !== 'unclear';
  return {
    bands: numbers.map(pixelsOf),
    metal: grey.length ? grey : null,
    layout,
    swap: sure ? undefined : NOT_SURE,
    numbers,
  };
}

/** The most bands of which anything is kept. */
const MOST_KEPT = 12;

/** What is kept of the taps: the middle code of each patch, and where each band sits as far as it was sure which leg is
 * which; nothing where no band was tapped. @param {Taps} told @param {ReturnType<typeof askedOf>} [asked]
 * @returns {{metal: number[]|null, bands: number[][], worn?: Layout}|null} */
export function tapsKept({ taps }, asked = null) {
  const middle = (/** @type {import('./photograph.js').Pixel[]} */ pixels) =>
    [0, 1, 2].map((at) => pixels.map((pixel) => pixel[at]).sort((a, b) => a - b)[pixels.length >> 1]);
  const bands = taps.filter(({ what }) => what === 'band').map(({ pixels }) => middle(pixels)),
    grey = taps.find(({ what }) => what !== 'band');
  const own = asked && asked.swap === undefined && asked.bands.length && asked.bands.length <= MOST_KEPT ? asked : null;
  if (own) return { metal: grey ? middle(grey.pixels) : null, bands: own.bands.map(middle), worn: own.layout };
  return bands.length ? { metal: grey ? middle(grey.pixels) : null, bands: bands.slice(0, MOST_KEPT) } : null;
}
