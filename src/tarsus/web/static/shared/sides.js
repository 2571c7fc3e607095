// @ts-check
// Left and right of a bird, and what a whole leg or wing of it wears. Sides are always the bird's own.

/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {import('./pack.js').Form} Form */
/** @typedef {import('./pack.js').Reading} Reading */
/** @typedef {'left'|'right'} Side */

/** @type {Side[]} */
export const SIDES = ['left', 'right'];
const SITES = ['tibia', 'leg', 'wing'];

/** The sites that are looked at by what birds are banded on, those of the tibia above those of the tarsus.
 * @param {string} form @returns {string[]} */
export function sitesOf(form) {
  const parts = form === 'wings' ? ['wing'] : form === 'tall' ? ['tibia', 'leg'] : ['leg'];
  return SIDES.flatMap((side) => parts.map((part) => `${side} ${part}`));
}

/** The other side. @param {Side} side @returns {Side} */
export const other = (side) => (side === 'left' ? 'right' : 'left');

/** Leg or wing: what a flock of this form is read on. @param {Form} form @returns {'leg'|'wing'} */
export const limbOf = (form) => (form === 'wings' ? 'wing' : 'leg');

/**
 * The parts of a side that a flock is banded on, from the body outward: `tibia`, `leg`, `wing`. The same for both
 * sides, since a bird read with left and right mixed up must fit too.
 * @param {{form: Form, birds: Bird[]}} flock @returns {string[]}
 */
export function partsOf(flock) {
  const worn = new Set(
    flock.birds.flatMap((bird) => Object.entries(bird.marks))
      .filter(([, bands]) => bands.length).map(([site]) => site.split(' ')[1]),
  );
  worn.add(flock.form === 'wings' ? 'wing' : flock.form === 'tall' ? 'tibia' : 'leg');
  return SITES.filter((part) => worn.has(part));
}

/** Everything one side of a bird wears, as one key: `tibia=yellow,green;leg=`.
 * @param {Record<string, string[]|null>} marks @param {Side} side @param {string[]} parts @returns {string} */
export function stackKey(marks, side, parts) {
  return parts.map((part) => `${part}=${(marks[`${side} ${part}`] || []).join(',')}`).join(';');
}

/** What a whole-leg key shows, by site. @param {string} key @param {Side} side @returns {import('./pack.js').Marks} */
export function stackMarks(key, side) {
  return Object.fromEntries(
    key.split(';').map((piece) => {
      const [part, bands] = piece.split('=');
      return [`${side} ${part}`, bands ? bands.split(',') : []];
    }),
  );
}

/** The bands of a key in one list, from the body outward. @param {string} key @returns {string[]} */
export function bandsOf(key) {
  return key.split(';').flatMap((piece) => piece.split('=')[1].split(',')).filter(Boolean);
}

/** The part of a reading made on one side. @param {Reading} reading @param {Side} side @returns {Reading} */
export function onSide(reading, side) {
  return Object.fromEntries(Object.entries(reading).filter(([site, bands]) => site.startsWith(side) && bands !== null));
}

/** Whether anything was seen of one side. @param {Reading} reading @param {Side} side @returns {boolean} */
export const sideSeen = (reading, side) => Object.keys(onSide(reading, side)).length > 0;

/** Whether anything was seen at all. @param {Reading} reading @returns {boolean} */
export const anySeen = (reading) => seenSites(reading).length > 0;

/** The sites that were seen, with what was read there. @param {Reading} reading @returns {[string, string[]][]} */
export const seenSites = (reading) => Object.entries(reading).filter(([, bands]) => Array.isArray(bands));

/** A reading with one side taken out, or replaced. @param {Reading} reading @param {Side} side @param {Reading} [by]
 * @returns {Reading} */
export function withSide(reading, side, by = {}) {
  const kept = Object.entries(reading).filter(([site, bands]) => !site.startsWith(side) && bands !== null);
  return { ...Object.fromEntries(kept), ...by };
}

/**
 * Where the keeper finds a side of the bird as it stands: near or far when it walks, on which hand when it faces.
 * @param {Side} side @param {''|'left'|'right'|'away'|'me'} facing
 * @returns {'near'|'far'|'on your left'|'on your right'|''}
 */
export function whereIs(side, facing) {
  if (facing === 'left' || facing === 'right') return side === facing ? 'near' : 'far';
  if (facing === 'me') return side === 'left' ? 'on your right' : 'on your left';
  if (facing === 'away') return side === 'left' ? 'on your left' : 'on your right';
  return '';
}

/** How sure somebody may be of the sides: the chance that left and right are exchanged, in place of the reader's own.
 */
export const THINK_SO = 0.2, NOT_SURE = 0.5;

/** The reading with another sureness of its sides; said twice, it is off again.
 * @param {Reading} reading @param {number} swap @returns {Reading} */
export function withSwap({ swap: before, ...rest }, swap) {
  return before === swap ? rest : { ...rest, swap: /** @type {any} */ (swap) };
}

/** The reading with a plumage; said twice, it is off again. @param {Reading} reading @param {string} plumage
 * @returns {Reading} */
export function withPlumage({ plumage: before, ...rest }, plumage) {
  return before === plumage ? rest : { ...rest, plumage: /** @type {any} */ (plumage) };
}

/** What somebody says who thinks to know the side: *I think left*. @param {Reading} reading @returns {string} */
export function thinkWords(reading) {
  const seen = SIDES.filter((side) => sideSeen(reading, side));
  return seen.length === 1 ? `I think ${seen[0]}` : 'I think so';
}
