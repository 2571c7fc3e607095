// @ts-check
// What the model says to the reading on the screen: the candidates, live, by the same formula as on the server.

import { identifyInStates, priorOfStates } from '../shared/lights.js';
import { usualFactors } from '../shared/places.js';
import { prepareFlock } from '../shared/reading.js';
import { anySeen, limbOf, partsOf, SIDES } from '../shared/sides.js';
import { hueOrder, legKeys, wornColours } from '../shared/legkeys.js';
import { wholeOf } from '../shared/open-leg.js';
import { verdict } from '../shared/words.js';

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef {import('../shared/pack.js').Reading} Reading */

/**
 * @typedef {object} Prepared      a flock as it is read: made once a pack
 * @property {ReturnType<typeof prepareFlock>[]} states  one for each light, with clean bands and with muddy ones
 * @property {Map<number, Bird>} byId
 * @property {import('../shared/legkeys.js').LegKeys} keys
 * @property {'leg'|'wing'} limb
 * @property {import('./reading-keys.js').Looked} looked
 *
 * @typedef {{prior: number[], earlier: number[][]}} InRound  how likely each light is, and what other readings tell of
 * it
 *
 * @typedef {object} Answer
 * @property {{bird: Bird, chance: number}[]} candidates
 * @property {number} noneOfThese
 * @property {import('../shared/words.js').Verdict} verdict
 */

/** @type {WeakMap<Flock, Prepared>} */
const prepared = new WeakMap();

/** @param {Pack} pack @param {Flock} flock @returns {Prepared} */
export function preparedFlock(pack, flock) {
  const known = prepared.get(flock);
  if (known) return known;
  const hues = hueOrder(Object.keys(pack.park.palette), pack.reader.confusion);
  const keys = legKeys(flock.birds, partsOf(flock), hues), limb = limbOf(flock.form);
  const sites = SIDES.flatMap((side) => keys.parts.map((part) => `${side} ${part}`));
  const made = {
    states: [pack.reader, ...(pack.lights || []).map(({ reader }) => reader)].map((reader) =>
      prepareFlock(flock.birds, reader)
    ),
    byId: new Map(flock.birds.map((bird) => [bird.id, bird])),
    keys,
    limb,
    looked: { sites, whole: wholeOf([flock]), limb, colours: wornColours(flock.birds, hues) },
  };
  prepared.set(flock, made);
  return made;
}

const NOBODY = new Set();

/**
 * Who it is, said in words.
 * @param {Pack} pack @param {Flock} flock @param {Reading} reading
 * @param {Set<number>} [out]  birds that it cannot be: named already in this group
 * @param {(id: number) => boolean} [seen]  of equal chance, the bird not yet seen comes first
 * @param {number|null} [place]  where somebody tapped that it stands
 * @param {InRound} [round]  the light, as said and as the round's other readings have it
 * @returns {Answer}
 */
export function whoIsIt(
  pack,
  flock,
  reading,
  out = NOBODY,
  seen = () => false,
  place = null,
  round = { prior: priorOfStates(), earlier: [] },
) {
  const { states, byId, limb, keys } = preparedFlock(pack, flock);
  const found = anySeen(reading)
    ? identifyInStates(states, round.prior.slice(0, states.length), round.earlier, reading, {
      strangers: pack.strangers,
      out,
      factors: usualFactors(flock.birds, place, new Date(), pack.park.zone),
    })
    : { candidates: [], noneOfThese: 1, lookNext: null };
  const candidates = found.candidates.map(({ id, chance }) => ({ bird: /** @type {Bird} */ (byId.get(id)), chance }));
  unseenFirst(candidates, seen);
  return {
    candidates,
    noneOfThese: found.noneOfThese,
    verdict: verdict({
      reading,
      candidates,
      noneOfThese: found.noneOfThese,
      lookNext: found.lookNext,
      kind: flock.lookalike,
      limb,
      twoParts: keys.parts.length > 1,
    }),
  };
}

/** Among the likeliest, birds that are shown with the same chance: the one not yet seen first.
 * @param {{bird: Bird, chance: number}[]} list
 * @param {(id: number) => boolean} seen */
function unseenFirst(list, seen) {
  const near = list.slice(0, 40);
  const shown = (/** @type {{chance: number}} */ one) => Math.round(one.chance * 100);
  near.sort((a, b) => shown(b) - shown(a) || Number(seen(a.bird.id)) - Number(seen(b.bird.id)) || b.chance - a.chance);
  list.splice(0, near.length, ...near);
}

/** What a sighting keeps of the model's answer. @param {Answer} answer
 * @returns {{candidates: {bird: number, chance: number}[], none_of_these: number}} */
export function keptAnswer(answer) {
  const worth = answer.candidates.slice(0, 20).filter(({ chance }) => chance >= 1e-6);
  return {
    candidates: worth.map(({ bird, chance }) => ({ bird: bird.id, chance })),
    none_of_these: answer.noneOfThese,
  };
}
