// @ts-check
// From what was told to the roll calls as they stand: which rounds are one call, how each ended, which look-alike
// groups were called. The twin of core/rounds; tests/published/round_cases.json.

import { countsStanding } from './counting.js';
import { byTime, standing } from './facts.js';
import { clears } from './naming.js';

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {{now: number, zone?: string}} When   the moment of asking; the park's time zone, the phone's own where
 * unknown */
/** @typedef {'not called'|'not done'|'begun'|'called'} GroupState */
/** @typedef {'open'|'left open'|'closed'|'not done'} Phase */

/**
 * @typedef {object} Span            one round as it stands
 * @property {string} id
 * @property {number} begun          milliseconds, as all moments here
 * @property {string} begunAt        as it was told
 * @property {number} begunBy
 * @property {string} day            the park's
 * @property {Phase} phase
 * @property {Fact|null} ended       the fact that ended it, none while it is open or was left open
 * @property {Fact[]} closings       those that stand
 * @property {Fact[]} earlier        those after which it was opened again
 * @property {[number, number][]} spells   when it was open
 *
 * @typedef {object} RollCall        every round that belongs to it, taken together
 * @property {Span[]} rounds
 * @property {Phase} phase
 * @property {Map<string, {state: GroupState, because: string}>} groups   of which something was told
 * @property {Map<string, import('./counting.js').Counts>} counts
 * @property {Fact[]} facts          its standing facts in order of time
 * @property {Set<string>} late      ids of sightings that stand beside the closed version
 */

/** A round that nobody closed is taken for an open one so long, and no longer than its own day of the park. */
export const STALE_HOURS = 14;

const STALE_MS = STALE_HOURS * 3600000;
const FIRMER = { 'not called': 0, 'not done': 1, begun: 2, called: 3 };
const IN_TURN = /** @type {Phase[]} */ (['open', 'closed', 'not done', 'left open']);

/** @type {Map<string|undefined, Intl.DateTimeFormat>} */
const calendars = new Map();

/** The park's day on which a moment falls: 2026-06-11. @param {number} moment @param {string} [zone]
 * @returns {string} */
export function dayOf(moment, zone) {
  let calendar = calendars.get(zone);
  if (!calendar) {
    calendar = new Intl.DateTimeFormat('en-CA', { timeZone: zone, year: 'numeric', month: '2-digit', day: '2-digit' });
    calendars.set(zone, calendar);
  }
  return calendar.format(moment);
}

/** Whether a round that nobody ended is still the one to join, or to open again, at a moment.
 * @param {number} begun @param {number} moment @param {string} [zone] @returns {boolean} */
export function joinable(begun, moment, zone) {
  return dayOf(begun, zone) === dayOf(moment, zone) && moment < begun + STALE_MS;
}

/** The roll calls of one exhibit out of all that was told, in any order and said any number of times; the oldest first.
 * @param {Iterable<Fact>} facts  of that exhibit @param {When} when @returns {RollCall[]} */
export function rollCalls(facts, when) {
  /** @type {Map<string, Fact[]>} */
  const rounds = new Map();
  for (const fact of [...standing(facts).values()].sort(byTime)) {
    if (!fact.round || fact.kind === 'withdrawn') continue;
    const told = rounds.get(fact.round);
    if (told) told.push(fact); else rounds.set(fact.round, [fact]);
  }
  const spans = [...rounds].map(([id, told]) => span(id, told, when));
  return joined(spans).map((together) => oneCall(together, rounds));
}

/** The round in which to go on: of those that are open the one that was begun first. @param {RollCall[]} calls
 * @returns {string|null} */
export function toJoin(calls) {
  return calls.flatMap((call) => call.rounds).filter((round) => round.phase === 'open').sort(byBeginning)[0]?.id ??
    null;
}

/** How far a look-alike group was called, and why it was not where somebody said so.
 * @param {{groups: Map<string, {state: GroupState, because: string}>}} call @param {string} lookalike
 * @returns {{state: GroupState, because: string}} */
export function groupState(call, lookalike) {
  return call.groups.get(lookalike) || call.groups.get('') || { state: 'not called', because: '' };
}

/** @param {Span} a @param {Span} b @returns {number} */
const byBeginning = (a, b) => a.begun - b.begun || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);

/** @param {Fact} fact @returns {boolean} */
const ends = (fact) => fact.kind === 'round_closed' || (fact.kind === 'round_not_done' && !fact.lookalike);

/** @param {string} id @param {Fact[]} told  in order of time @param {When} when @returns {Span} */
function span(id, told, { now, zone }) {
  const first = told.find((fact) => fact.kind === 'round_started') || told[0], begun = Date.parse(first.at);
  const { spells, turns } = course(told, begun, zone);
  const still = joinable(begun, now, zone);
  if (!turns[turns.length - 1].length && turns.length > 1 && !still) turns.pop(); // opened again, never closed
  const last = turns[turns.length - 1], closed = (/** @type {Fact} */ fact) => fact.kind === 'round_closed';
  return {
    id,
    begun,
    begunAt: first.at,
    begunBy: first.by,
    day: dayOf(begun, zone),
    ended: last[0] || null,
    spells,
    phase: last.some(closed) ? 'closed' : last.length ? 'not done' : still ? 'open' : 'left open',
    closings: last.filter(closed),
    earlier: turns.slice(0, -1).flat().filter(closed),
  };
}

/** When a round was open, and the ends told after each opening: the last list is empty while it is open.
 * @param {Fact[]} told @param {number} begun @param {string} [zone]
 * @returns {{spells: [number, number][], turns: Fact[][]}} */
function course(told, begun, zone) {
  const stale = begun + STALE_MS, again = (/** @type {Fact} */ fact) => Number(fact.kind === 'round_reopened');
  /** @type {[number, number][]} */
  const spells = [];
  /** @type {Fact[][]} */
  const turns = [[]];
  /** @type {number|null} */
  let opened = begun;
  // At one and the same moment a round ends before it is opened again.
  const happened = told.filter((fact) => ends(fact) || again(fact)).sort((a, b) =>
    Date.parse(a.at) - Date.parse(b.at) || again(a) - again(b) || byTime(a, b)
  );
  for (const turn of happened) {
    const at = Date.parse(turn.at);
    if (ends(turn)) {
      turns[turns.length - 1].push(turn);
      if (opened !== null) spells.push([opened, Math.max(opened, Math.min(at, stale))]);
      opened = null;
    } else if (opened === null && joinable(begun, at, zone)) {
      turns.push([]);
      opened = at;
    }
  }
  if (opened !== null) spells.push([opened, Math.max(opened, stale)]);
  return { spells, turns };
}

/** Rounds by roll call: those of one day whose open spells meet, directly or through others, are together.
 * @param {Span[]} spans @returns {Span[][]} */
function joined(spans) {
  const of = new Map(spans.map((one) => [one, [one]]));
  const spells = spans.flatMap((one) => one.spells.map(([begin, end]) => ({ one, begin, end })))
    .sort((a, b) => (a.one.day < b.one.day ? -1 : a.one.day > b.one.day ? 1 : 0) || a.begin - b.begin || a.end - b.end);
  /** @type {{one: Span, end: number}|null} */
  let reaches = null;
  for (const { one, begin, end } of spells) {
    if (reaches && reaches.one.day === one.day && begin <= reaches.end) {
      const mine = /** @type {Span[]} */ (of.get(one)), its = /** @type {Span[]} */ (of.get(reaches.one));
      if (mine !== its) {
        its.push(...mine);
        mine.forEach((each) => of.set(each, its));
      }
      reaches = { one, end: Math.max(end, reaches.end) };
    } else reaches = { one, end };
  }
  return [...new Set(of.values())].map((call) => call.sort(byBeginning)).sort((a, b) => byBeginning(a[0], b[0]));
}

/** @param {Span[]} rounds @param {Map<string, Fact[]>} told @returns {RollCall} */
function oneCall(rounds, told) {
  const groups = new Map();
  for (const round of rounds) {
    for (const [lookalike, word] of groupsOf(told.get(round.id) || [], round)) {
      const before = groups.get(lookalike);
      if (FIRMER[word.state] > FIRMER[/** @type {GroupState} */ (before?.state || 'not called')])
        groups.set(lookalike, word);
    }
  }
  const facts = rounds.flatMap((round) => told.get(round.id) || []).sort(byTime);
  const phases = new Set(rounds.map(({ phase }) => phase));
  return {
    rounds,
    groups,
    facts,
    phase: /** @type {Phase} */ (IN_TURN.find((phase) => phases.has(phase))),
    counts: countsStanding(facts.filter((fact) => fact.kind === 'count')),
    late: new Set(rounds.flatMap((round) => late(told.get(round.id) || [], round)).map(({ id }) => id)),
  };
}

/** How far each look-alike group was called in one round: without a count and without a sure name it was not; a later
 * *not done* takes back what was begun; what was begun is called once the round was closed after it.
 * @param {Fact[]} told  in order of time @param {Span} round
 * @returns {Map<string, {state: GroupState, because: string}>} */
function groupsOf(told, round) {
  /** @type {Map<string, number[]>} */
  const words = new Map();
  for (const fact of told) {
    if (fact.kind !== 'count' && !(fact.kind === 'sighting' && clears(fact))) continue;
    const name = fact.lookalike || '', times = words.get(name), at = Date.parse(fact.at);
    if (times) times.push(at); else words.set(name, [at]);
  }
  /** @type {Map<string, Fact>} */
  const givenUp = new Map();
  for (const fact of told) {
    if (fact.kind !== 'round_not_done') continue;
    for (const name of fact.lookalike ? [fact.lookalike] : ['', ...words.keys(), ...givenUp.keys()])
      givenUp.set(name, fact);
  }
  const cut = Math.max(-Infinity, ...round.closings.map(({ at }) => Date.parse(at)));
  return new Map(
    [...new Set([...words.keys(), ...givenUp.keys()])].map((
      name,
    ) => [name, group(words.get(name) || [], givenUp.get(name), cut)]),
  );
}

/** @param {number[]} words @param {Fact|undefined} givenUp @param {number} cut
 * @returns {{state: GroupState, because: string}} */
function group(words, givenUp, cut) {
  const since = givenUp ? words.filter((at) => at > Date.parse(givenUp.at)) : words;
  if (!since.length) return { state: 'not done', because: givenUp?.because || '' };
  return { state: Math.min(...since) <= cut ? 'called' : 'begun', because: '' };
}

/** Sightings that were heard after their round was closed. @param {Fact[]} told @param {Span} round
 * @returns {Fact[]} */
function late(told, round) {
  if (!round.closings.length) return [];
  return told.filter((fact) =>
    fact.kind === 'sighting' && round.closings.every((closing) => heardAfter(fact, closing))
  );
}

/** Whether a fact was heard after a closing; where nobody knows when, whether it happened after it.
 * @param {Fact} fact @param {Fact} closing @returns {boolean} */
function heardAfter(fact, closing) {
  if (!fact.heard || !closing.heard) return Date.parse(fact.at) > Date.parse(closing.at);
  return Date.parse(fact.heard) > Date.parse(closing.heard);
}
