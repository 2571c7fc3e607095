// @ts-check
// Two look-alikes: what differs between them, where, and in words; and what of it draws together for other eyes.

import { drawTogether } from './colour-vision.js';
import { capital } from './words.js';

/** @typedef {import('./band-words.js').Form} Form */
/** @typedef {{name: string, marks: Record<string, string[]|null>}} Bird */
/** @typedef {{site: string, at: number|null}} Spot  a band of a site, or with no number the whole stack */
/** @typedef {{one: Spot, other: Spot, say: string, swaps: [string, string][]}} Tell  `swaps`: the colours that stand in
 * each other's place; none where
 *   the number of bands differs */
/** @typedef {import('./colour-vision.js').Eyes} Eyes */

const SIDES = ['left', 'right'];
const PARTS = ['tibia', 'leg', 'wing'];
/** How a pair of eyes is called, usual ones first. @type {[Eyes, string][]} */
export const EYES = [['usual', 'Usual eyes'], ['protan', 'Red-deficient eyes'], ['deutan', 'Green-deficient eyes'], [
  'tritan',
  'Blue-deficient eyes',
]];

/** @param {string[]} bands */
const over = (bands) => bands.length ? bands.join(' over ') : 'bare';
/** @param {string[]} one @param {string[]} other */
const same = (one, other) => one.length === other.length && one.every((band, i) => band === other[i]);
/** Colours that stand in each other's place; none where the number tells. @param {string[]} one @param {string[]} other
 * @returns {[string, string][]} */
const swapsOf = (one, other) =>
  one.length !== other.length
    ? []
    : one.flatMap((band, at) => band === other[at] ? [] : [/** @type {[string, string]} */ ([band, other[at]])]);
/** @param {Bird} bird @param {string} site @returns {string[]} */
const worn = (bird, site) => bird.marks[site] || [];
/** @param {string} site */
const mirrored = (site) => site.startsWith('left') ? site.replace('left', 'right') : site.replace('right', 'left');

/** The form in which both birds show every band. @param {Bird} one @param {Bird} other @returns {Form} */
export function formOf(one, other) {
  const wears = (/** @type {string} */ part) =>
    [one, other].some((bird) => SIDES.some((side) => worn(bird, `${side} ${part}`).length));
  return wears('wing') ? 'wings' : wears('tibia') ? 'tall' : 'legs';
}

/** The marks of one of a pair, every site said that either wears: a bare one is looked at too.
 * @param {Bird} bird @param {Bird} beside @returns {Record<string, string[]>} */
export function sitesShown(bird, beside) {
  const parts = PARTS.filter((part) =>
    SIDES.some((side) => worn(bird, `${side} ${part}`).length || worn(beside, `${side} ${part}`).length)
  );
  return Object.fromEntries(
    parts.flatMap((part) => SIDES.map((side) => [`${side} ${part}`, worn(bird, `${side} ${part}`)])),
  );
}

/** @param {string} site @param {boolean} both  bands above and below the joint */
function siteWords(site, both) {
  const [side, part] = site.split(' ');
  return part === 'wing'
    ? `the ${side} wing`
    : `the ${side} leg${both ? (part === 'tibia' ? ' above the joint' : ' below the joint') : ''}`;
}

/** @param {number} at @param {number} n */
const bandWords = (at, n) =>
  n === 1
    ? ''
    : n === 2
    ? [', the upper band', ', the lower band'][at]
    : n === 3
    ? [', the upper band', ', the middle band', ', the lower band'][at]
    : `, band ${at + 1} of ${n} from the body`;

/**
 * What tells two birds apart, as it is numbered on both drawings.
 * @param {Bird} one @param {Bird} other @returns {Tell[]} none where they wear the same
 */
export function tells(one, other) {
  const sites = Object.keys(sitesShown(one, other)),
    both = sites.some((site) => site.endsWith('tibia')) && sites.some((site) => site.endsWith('leg'));
  const where = (/** @type {string} */ site) => siteWords(site, both);
  const differ = sites.filter((site) => !same(worn(one, site), worn(other, site)));
  // Legs swapped: each stack is told once, with the two sides on which it stands.
  if (differ.length && differ.every((site) => same(worn(one, site), worn(other, mirrored(site))))) {
    return differ.filter((site) => worn(one, site).length).map((site) => ({
      one: { site, at: null },
      other: { site: mirrored(site), at: null },
      swaps: swapsOf(worn(one, site), worn(other, site)),
      say: `${capital(over(worn(one, site)))}: on ${where(site)} of ${one.name}, on ${
        where(mirrored(site))
      } of ${other.name}.`,
    }));
  }
  /** @param {string} site @returns {Tell[]} */
  const found = (site) => {
    const mine = worn(one, site), theirs = worn(other, site), turned = same([...mine].sort(), [...theirs].sort());
    if (mine.length !== theirs.length || turned) {
      return [{
        one: { site, at: null },
        other: { site, at: null },
        swaps: swapsOf(mine, theirs),
        say: `On ${where(site)}: ${one.name} ${over(mine)}, ${other.name} ${over(theirs)}.`,
      }];
    }
    return mine.flatMap((band, at) =>
      band === theirs[at] ? [] : [{
        one: { site, at },
        other: { site, at },
        swaps: swapsOf([band], [theirs[at]]),
        say: `On ${where(site)}${bandWords(at, mine.length)}: ${one.name} ${band}, ${other.name} ${theirs[at]}.`,
      }]
    );
  };
  return differ.flatMap(found);
}

/**
 * What these eyes make of the difference, for bands as new as the palette has them.
 * @param {Tell[]} told @param {import('./palette.js').Palette} palette @param {Eyes} eyes @returns {string}
 */
export function verdictFor(told, palette, eyes) {
  if (!told.length) return 'They wear the same.';
  const drawsTogether = (/** @type {[string, string]} */ pair) => {
    const [a, b] = pair.map((band) => palette.get(band)?.hex);
    return !!a && !!b && drawTogether(a, b, eyes);
  };
  // An order, or a leg, is told by its colours: to eyes that take the one for the other both stacks look the same.
  const near = told.filter(({ swaps }) => swaps.length && swaps.every(drawsTogether)),
    single = told.filter(({ one }) => one.at !== null);
  const pairs = (/** @type {Tell[]} */ of) => {
    const all = of.flatMap(({ swaps }) => swaps),
      alike = (/** @type {string[]} */ a, /** @type {string[]} */ b) => same([...a].sort(), [...b].sort());
    return all.filter((pair, n) => all.findIndex((other) => alike(pair, other)) === n).map((pair) => pair.join(' and '))
      .join('; ');
  };
  if (!near.length)
    return single.length
      ? `${capital(pairs(single))} stay apart.`
      : 'No colour decides: the place tells.';
  return near.length === told.length
    ? `${capital(pairs(near))} draw together: hard to tell.`
    : `${capital(pairs(near))} draw together; look at the rest.`;
}
