// @ts-check
// The light on the birds and the mud on their bands: said once in a roll call, and weighed with all that is read in it.

import { evidenceOf, priorOfStates, sharesOfStates, STATES } from '../shared/lights.js';
import { preparedFlock } from './roll-call-model.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Fact} Fact */
/** @typedef {import('./roll-call-model.js').InRound} InRound */
/** @typedef {import('../shared/lights.js').Light} Light */

/** @type {WeakMap<Flock, Map<string, number[]>>} */
const known = new WeakMap();

/** What the other readings of the round tell of its light. @param {RollCall} call @param {Flock} flock
 * @param {(fact: Fact) => boolean} [without] @returns {InRound} */
export function inRound(call, flock, without = () => false) {
  const prior = priorOfStates(call.light?.light || '', call.light ? !!call.light.mud : null);
  const { states } = preparedFlock(call.pack, flock), made = known.get(flock) || new Map();
  known.set(flock, made);
  const earlier = [];
  for (const fact of call.state.sightings) {
    if (!fact.reading || fact.photographed || fact.lookalike !== flock.lookalike || without(fact)) continue;
    let told = made.get(fact.id);
    if (!told) made.set(fact.id, told = evidenceOf(states, fact.reading, { strangers: call.pack.strangers }));
    earlier.push(told);
  }
  return { prior, earlier };
}

/** The light and mud that the readings speak for, in words; empty where it is what was said, or daylight.
 * @param {RollCall} call @param {Flock} flock @returns {string} */
export function lightRead(call, flock) {
  const { prior, earlier } = inRound(call, flock), { states } = preparedFlock(call.pack, flock);
  const shares = sharesOfStates(prior.slice(0, states.length), earlier);
  const { light, mud } = STATES[shares.indexOf(Math.max(...shares))];
  if (light === (call.light?.light || 'bright') && mud === !!call.light?.mud) return '';
  return [light === 'bright' ? '' : `${light} light`, mud ? 'muddy bands' : ''].filter(Boolean).join(', ') ||
    'bright light, clean bands';
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  light: (call, button) =>
    call.keep(['round_light', { light: /** @type {Light} */ (button.dataset.value), mud: !!call.light?.mud }]),
  mud: (call) => call.keep(['round_light', { light: call.light?.light || 'bright', mud: !call.light?.mud }]),
};
