// @ts-check
// What was told on this phone and is not in a pack yet: birds that died, went or are missing leave the tiles and the
// count at once, although nobody else has heard of it.

import { standing } from './facts.js';

/** @typedef {import('./pack.js').Pack} Pack */
/** @typedef {import('./pack.js').Flock} Flock */
/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {import('./outbox.js').Entry} Entry */

const OFF = new Set(['missing', 'escaped']);

/** The facts that a pack may not know: those not sent yet, and those heard after it was made. A fact that was kept for
 * an hour happened before the pack and is not in it; of one that was heard before phones noted when, its own time must
 * do.
 * @param {Pick<Pack, 'made_at'>} pack @param {Entry[]} entries @returns {Fact[]} in order of time */
function notInPack(pack, entries) {
  const counting = entries.filter(({ fate }) => fate === 'kept' || fate === 'heard');
  const stand = standing(counting.map(({ fact }) => fact)), made = Date.parse(pack.made_at);
  return counting.filter(({ fact, fate, heardAt }) =>
    stand.has(fact.id) && (fate === 'kept' || Date.parse(heardAt || fact.at) > made)
  )
    .map(({ fact }) => fact).sort((a, b) => Date.parse(a.at) - Date.parse(b.at));
}

/**
 * A pack as it is after what this phone told of deaths, moves and whereabouts; the same pack where that changes
 * nothing.
 * @param {Pack} pack @param {Entry[]} entries  the outbox
 * @param {Pack[]} [others]  packs of the exhibits that birds may come from
 * @returns {Pack}
 */
export function asToldHere(pack, entries, others = []) {
  let told = pack;
  for (const fact of notInPack(pack, entries)) {
    if (fact.kind === 'death') told = died(told, fact);
    else if (fact.kind === 'moved') told = moved(told, fact, others);
    else if (fact.kind === 'whereabouts' && typeof fact.bird === 'number')
      told = lost(told, fact.bird, fact.state || '');
  }
  return told;
}

/** Whether a person shares their practice: as the pack has it, or as they told it here since.
 * @param {Pack} pack @param {Entry[]} entries  the outbox @returns {boolean} */
export function sharesAsToldHere({ person, ...pack }, entries) {
  const told = notInPack(pack, entries).filter(({ kind, by }) => kind === 'practice_sharing' && by === person.id).at(
    -1,
  );
  return Boolean(told ? told.on : person.shares_practice);
}

/** @param {Pack} pack @param {Fact} fact @returns {Pack} */
function died(pack, fact) {
  if (typeof fact.bird === 'number') return without(pack, [fact.bird]);
  if (fact.exhibit !== pack.exhibit.id) return pack;
  return each(pack, (flock) => (flock.kinds || []).some(({ id }) => id === fact.species), (flock) => ({
    ...flock,
    counted: Math.max(0, flock.counted - 1),
    carcases: (flock.carcases || 0) + 1,
  }));
}

/** @param {Pack} pack @param {Fact} fact @param {Pack[]} others @returns {Pack} */
function moved(pack, fact, others) {
  const came = fact.came || [];
  if (fact.to_exhibit !== pack.exhibit.id) return without(pack, came);
  const here = new Set(pack.flocks.flatMap(({ birds }) => birds.map(({ id }) => id)));
  let told = pack;
  for (const id of came.filter((one) => !here.has(one))) {
    for (const { flocks } of others) {
      const from = flocks.find(({ birds }) => birds.some((bird) => bird.id === id));
      const bird = from?.birds.find((one) => one.id === id);
      if (from && bird) {
        told = into(told, from, bird);
        break;
      }
    }
  }
  return told;
}

/** A bird beside those it looks like. @param {Pack} pack @param {Flock} from @param {Bird} bird @returns {Pack} */
function into(pack, from, bird) {
  const one = { ...bird, places: {} }, n = bird.counted ? 1 : 0;
  if (!pack.flocks.some(({ lookalike }) => lookalike === from.lookalike)) {
    return { ...pack, flocks: [...pack.flocks, { ...from, counted: n, carcases: 0, birds: [one] }] };
  }
  return each(pack, ({ lookalike }) => lookalike === from.lookalike, (flock) => ({
    ...flock,
    counted: flock.counted + n,
    birds: [...flock.birds, one].sort((a, b) => a.name.localeCompare(b.name, 'en')),
  }));
}

/** @param {Pack} pack @param {number[]} gone @returns {Pack} */
function without(pack, gone) {
  const ids = new Set(gone);
  return each(pack, ({ birds }) => birds.some(({ id }) => ids.has(id)), (flock) => ({
    ...flock,
    counted: flock.counted - flock.birds.filter((bird) => ids.has(bird.id) && bird.counted).length,
    birds: flock.birds.filter(({ id }) => !ids.has(id)),
  }));
}

/** A bird that is not where it belongs is looked for and not counted on; found again, it counts.
 * @param {Pack} pack @param {number} id @param {string} state @returns {Pack} */
function lost(pack, id, state) {
  const off = OFF.has(state);
  return each(pack, ({ birds }) => birds.some((bird) => bird.id === id), (flock) => {
    const bird = /** @type {Bird} */ (flock.birds.find((one) => one.id === id));
    const counts = off ? false : bird.counted || !!bird.whereabouts;
    const now = { ...bird, counted: counts, whereabouts: off ? state : '' };
    return {
      ...flock,
      counted: flock.counted + Number(counts) - Number(bird.counted),
      birds: flock.birds.map((one) => (one.id === id ? now : one)),
    };
  });
}

/** @param {Pack} pack @param {(flock: Flock) => boolean} which @param {(flock: Flock) => Flock} change
 * @returns {Pack} */
function each(pack, which, change) {
  return pack.flocks.some(which)
    ? { ...pack, flocks: pack.flocks.map((flock) => (which(flock) ? change(flock) : flock)) }
    : pack;
}

/** All packs of a phone as they are after what it told: birds may have gone from one to another.
 * @param {Pack[]} packs @param {Entry[]} entries  the outbox @returns {Pack[]} */
export const allAsToldHere = (packs, entries) => packs.map((pack) => asToldHere(pack, entries, packs));
