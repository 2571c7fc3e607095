// @ts-check
// A bird's marks in words: the text alternative of its drawing. The sentences are those of core/marks/wording.py.

import { OPEN_END } from './open-ends.js';
import { METAL, NOT_MADE_OUT } from './palette.js';
import { NOT_SURE } from './sides.js';

/** @typedef {Record<string, string[] | null>} SiteBands bands by site, body outward; null was not seen */
/** @typedef {'legs' | 'tall' | 'wings' | 'told'} Form */
/** @typedef {'away' | 'me' | 'left' | 'right'} Facing */

const SITES = ['left tibia', 'left leg', 'left wing', 'right tibia', 'right leg', 'right wing'];
/** The part that a form's birds are banded on. */
const BANDED = { legs: 'leg', tall: 'tibia', wings: 'wing', told: '' };
const STANDS = {
  away: 'the bird faces away',
  me: 'the bird faces you',
  left: 'it walks to your left',
  right: 'it walks to your right',
};

/**
 * @param {string} band
 * @param {string} [flags] `worn`, `faded`, `lost`, `tie`, joined by spaces
 */
export function bandInWords(band, flags = '') {
  const name = band === METAL ? METAL : band === NOT_MADE_OUT ? 'a colour not made out' : band;
  const notes = flags.split(' ').filter(Boolean);
  return notes.length ? `${name} (${notes.join(', ')})` : name;
}

/**
 * A stack in words, as core/readings/wording.py says it: *yellow over green*; *red, perhaps more below*.
 * @param {string[]} bands
 * @param {string[]} [flags]
 */
export function stackRead(bands, flags = []) {
  const all = bands.map((band, i) => ({ band, flags: flags[i] }));
  const told = all.filter(({ band }, i) => band !== OPEN_END || all[i - 1]?.band !== OPEN_END);
  if (told.length === 1 && told[0].band === OPEN_END) return 'bands not made out';
  const said = told.map((one, i) => (one.band === OPEN_END
    ? `perhaps more ${i === told.length - 1 ? 'below' : i ? 'between' : 'above'}` :
    bandInWords(one.band, one.flags))
  );
  return said.reduce((text, word, i) => (!i ?
    word
    : `${text}${[told[i - 1], told[i]].some(({ band }) => band === OPEN_END) ? ', ' : ' over '}${word}`), '');
}

/** How sure a reading is of its sides, or nothing where it leaves that to the reader.
 * @param {number|undefined} swap @param {(chance: number) => string} percent @param {'legs'|'wings'} [limbs] */
export const sidesRead = (
  swap,
  percent,
  limbs = 'legs',
) => (swap === undefined
  ? ''
  : swap >= NOT_SURE
  ? 'left or right unclear'
  : `${limbs} swapped: ${percent(swap)}`);

/**
 * A site as keepers name it: the side alone where this form's birds are banded.
 * @param {string} site
 * @param {Form} form
 */
export function siteInWords(site, form) {
  const [side, part] = site.split(' ');
  if (part === 'wing') return site;
  const legs = form === 'told' ? 'leg' : BANDED[form];
  if (part === legs) return side;
  return part === 'leg' ? `${side} tarsus` : site;
}

/**
 * The sites a drawing tells of: where its birds are banded, and wherever else something is worn or was seen.
 * @param {SiteBands} marks
 * @param {Form} form
 * @param {boolean} reading
 */
export function sitesTold(marks, form, reading) {
  const main = BANDED[form];
  return SITES.filter((site) => site.endsWith(` ${main}`) || marks[site]?.length || (reading && site in marks));
}

/**
 * *metal on the left, yellow over green on the right*
 * @param {{marks?: SiteBands, flags?: Record<string, string[]>, form?: Form, reading?: boolean}} bird
 */
export function inWords({ marks = {}, flags = {}, form = 'legs', reading = false }) {
  const told = sitesTold(marks, form, reading).map((site) => {
    const where = siteInWords(site, form);
    const bands = site in marks ? marks[site] : reading ? null : [];
    if (bands === null) return `${where} not seen`;
    return `${stackRead(bands, flags[site]) || 'bare'} on the ${where}`;
  });
  return told.join(', ') || 'wears no bands';
}

/**
 * What a screen reader says of a drawing.
 * @param {{name?: string, at?: 'close' | 'figure', facing?: Facing, form?: Form, marks?: SiteBands,
 *   flags?: Record<string, string[]>, reading?: boolean}} bird
 */
export function textAlternative(bird) {
  const { name = '', at = 'close', facing = 'away', form = 'legs' } = bird;
  const stands = at === 'figure' && form !== 'told' ? `; ${STANDS[facing]}` : '';
  return (name ? `${name}: ` : '') + inWords(bird) + stands;
}
