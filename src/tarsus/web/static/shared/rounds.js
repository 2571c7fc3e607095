// @ts-check
// Which round a phone is calling. Phones out of signal may each have begun one in the same exhibit: what they tell adds
// up, so a call is a set of rounds, of which the earliest begun speaks for all.

import { dayOf, rollCalls, toJoin } from './calls.js';

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {import('./pack.js').Pack} Pack */
/** @typedef {import('./calls.js').RollCall} RollCall */

/**
 * @typedef {object} Calling
 * @property {string} id           the round to which what is kept now belongs
 * @property {Set<string>} ids     all rounds of its roll call
 * @property {Set<string>} open    those of them that are open: closing closes each
 * @property {boolean} started     that somebody has begun it
 * @property {Fact[]} theirs       what the server told of this exhibit's rounds
 * @property {RollCall|null} over  today's latest call that is over, while none is open: a phone that comes late sees it
 * @property {RollCall[]} calls    every call that is known, the oldest first
 */

/**
 * The round that this phone is calling: of those that are open the first begun, here or elsewhere, or a fresh one.
 * @param {Pack} pack @param {Fact[]} own  what this phone told, sent or not
 * @param {{now: number, fresh: string}} moment  the time, and an id for a round that begins now
 * @returns {Calling}
 */
export function openRound(pack, own, { now, fresh }) {
  const theirs = pack.told || [], zone = pack.park?.zone;
  const calls = rollCalls(toldOf(pack.exhibit.id, [...theirs, ...own]), { now, zone });
  const id = toJoin(calls), call = calls.find(({ rounds }) => rounds.some((round) => round.id === id));
  const today = calls.filter((one) =>
    one.rounds[0].day === dayOf(now, zone) && (one.phase === 'closed' || one.phase === 'not done')
  );
  return {
    id: id ?? fresh,
    started: id !== null,
    theirs,
    calls,
    ids: new Set(call ? call.rounds.map((round) => round.id) : [fresh]),
    open: new Set(call ? call.rounds.filter(({ phase }) => phase === 'open').map((round) => round.id) : [fresh]),
    over: call ? null : today[today.length - 1] || null,
  };
}

/** What was last said of the light on the birds in the round that is open there; nothing while none is.
 * @param {Pack} pack @param {Fact[]} own  what this phone told, sent or not @param {number} now @returns {Fact|null} */
export function lightOfOpenRound(pack, own, now) {
  const { started, id, calls } = openRound(pack, own, { now, fresh: '' });
  const call = started && calls.find(({ rounds }) => rounds.some((round) => round.id === id));
  const said = call ? call.facts.filter(({ kind }) => kind === 'round_light') : [];
  return said[said.length - 1] || null;
}

/** What was told of the rounds of one exhibit; a phone keeps the facts of all of them. @param {number} exhibit
 * @param {Fact[]} facts @returns {Fact[]} */
function toldOf(exhibit, facts) {
  const rounds = new Set(facts.filter((fact) => fact.exhibit === exhibit && fact.round).map((fact) => fact.round));
  return facts.filter((fact) => fact.kind === 'withdrawn' || rounds.has(fact.round));
}
