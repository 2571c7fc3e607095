// @ts-check
// Who is inferred: the part readings of the round weighed together, here on the phone. The server's answer is the same.

import { NEVER, sharesOfStates } from '../shared/lights.js';
import { usualFactors } from '../shared/places.js';
import { posterior } from '../shared/reading.js';
import { ImpossibleReading } from '../shared/reconcile.js';
import { reconciledInStates } from '../shared/reconcile-in-states.js';
import { inferred, leavesOpen, setOut } from '../shared/together.js';
import { inRound } from './roll-call-light.js';
import { preparedFlock } from './roll-call-model.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Fact} Fact */
/** @typedef {Map<number, {chance: number, fact: Fact}>} Inferred */

/** A light that is less likely than this after all readings would move no chance that anybody sees. */
const WORTH_WEIGHING = 1e-3;

/** @type {WeakMap<object, Map<string, Inferred>>} */
const known = new WeakMap();

/** The unseen birds that the part readings can hardly leave out. @param {RollCall} call @param {Flock} flock
 * @returns {Inferred} */
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
  const { prior, states } = likelyStates(call, flock);
  const usual = usualOnce(call, flock);
  const outs = states.map((of) => setOut(call.state, flock, (fact) => inState(call, flock, of, fact, usual(fact))));
  if (!outs[0].groups.length) return new Map();
  try {
    return inferred(
      flock,
      outs[0],
      reconciledInStates(outs.map(({ groups }) => groups), prior, flock.birds.length),
      (id) => call.seen(id),
    );
  } catch (error) {
    if (error instanceof ImpossibleReading) return new Map(); // nothing follows from readings that go with no birds
    throw error;
  }
}

/** The lights and muds that are worth weighing, and how likely each was before the readings that are left open.
 * @param {RollCall} call @param {Flock} flock */
function likelyStates(call, flock) {
  const { states } = preparedFlock(call.pack, flock),
    all = inRound(call, flock),
    surely = inRound(call, flock, leavesOpen);
  const after = sharesOfStates(all.prior.slice(0, states.length), all.earlier);
  const before = sharesOfStates(surely.prior.slice(0, states.length), surely.earlier);
  const worth = states.map((_, s) => s).filter((s) => after[s] >= WORTH_WEIGHING),
    whole = worth.reduce((sum, s) => sum + before[s], 0);
  return { states: worth.map((s) => states[s]), prior: worth.map((s) => before[s] / whole) };
}

/** By how much each bird is likelier to be the one of a fact: the same in every state.
 * @param {RollCall} call @param {Flock} flock @returns {(fact: Fact) => number[]} */
function usualOnce(call, flock) {
  /** @type {Map<Fact, number[]>} */
  const made = new Map();
  return (fact) => {
    let factors = made.get(fact);
    if (!factors) {
      factors = usualFactors(flock.birds, fact.place ?? null, new Date(fact.at), call.pack.park.zone);
      made.set(fact, factors);
    }
    return factors;
  };
}

/** One reading in one state: how probable it is of each bird, and of none of them.
 * @param {RollCall} call @param {Flock} flock @param {import('../shared/reading.js').PreparedFlock} of
 * @param {Fact} fact @param {number[]} factors of each bird, for where and when it was read */
function inState(call, flock, of, fact, factors) {
  const { straight, crossed, noneOfThese, evidence } = posterior(of, fact.reading || {}, {
    strangers: call.pack.strangers,
    factors,
  });
  const probable = Math.max(evidence, NEVER);
  return {
    chances: Float64Array.from(flock.birds, (_, b) => (straight[b] + crossed[b]) * probable),
    none: noneOfThese * probable,
  };
}
