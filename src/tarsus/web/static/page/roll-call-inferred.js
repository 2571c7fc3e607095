// @ts-check
// Who is inferred: the part readings of the round weighed together, here on the phone. The server's answer is the same.

import { ImpossibleReading, reconciled } from '../shared/reconcile.js';
import { inferred, setOut } from '../shared/together.js';
import { inRound } from './roll-call-light.js';
import { whoIsIt } from './roll-call-model.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Fact} Fact */
/** @typedef {Map<number, {chance: number, fact: Fact}>} Inferred */

/** @type {WeakMap<object, Map<string, Inferred>>} */
const known = new WeakMap();

/** The unseen birds that the part readings can hardly leave out. @param {RollCall} call @param {Flock} flock @returns {Inferred} */
export function inferredBirds(call, flock) {
  const byFlock = known.get(call.state) || new Map();
  known.set(call.state, byFlock);
  const before = byFlock.get(flock.lookalike);
  if (before) return before;
  const found = weighed(call, flock);
  byFlock.set(flock.lookalike, found);
  return found;
}

/** @param {RollCall} call @param {Flock} flock @returns {Inferred} */
function weighed(call, flock) {
  const at = new Map(flock.birds.map((bird, i) => [bird.id, i]));
  const out = setOut(call.state, flock, (fact) => {
    const answer = whoIsIt(call.pack, flock, fact.reading || {}, undefined, undefined, fact.place ?? null, inRound(call, flock, fact));
    const chances = new Float64Array(flock.birds.length);
    for (const { bird, chance } of answer.candidates) chances[/** @type {number} */ (at.get(bird.id))] = chance;
    return { chances, none: answer.noneOfThese };
  });
  if (!out.groups.length) return new Map();
  try {
    return inferred(flock, out, reconciled(out.groups, flock.birds.length), (id) => call.seen(id));
  } catch (error) {
    if (error instanceof ImpossibleReading) return new Map(); // nothing follows from readings that go with no birds
    throw error;
  }
}
