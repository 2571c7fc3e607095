// @ts-check
// One round out of its facts: who is seen, how, the counts, the groups, who is unseen. The same facts, from this phone
// and from others, in any order and said any number of times, give the same round.

import { byTime, standing } from './facts.js';
import { onTheRoll } from './pack.js';

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {import('./pack.js').Flock} Flock */
/** @typedef {import('./pack.js').Bird} Bird */

/**
 * @typedef {object} Seen            how one bird stands in the round
 * @property {Fact} sighting         the sighting that stands for it: observed before inferred, then the latest
 * @property {'by sight'|'by reading'|'inferred'} how
 * @property {string} at
 * @property {number} by
 *
 * @typedef {object} Group
 * @property {string} id
 * @property {number} size
 * @property {boolean} flew
 * @property {number|null} place
 * @property {string} at
 * @property {number} by
 * @property {Map<number, Fact>} positions    place in the group from the left, 0 first, to its latest sighting
 *
 * @typedef {object} RoundState
 * @property {string|null} startedAt
 * @property {number|null} startedBy
 * @property {boolean} closed
 * @property {string|null} closedAt
 * @property {Map<string, string>} notDone    look-alike group ('' is the whole exhibit) to its reason
 * @property {Map<string, {counted: number, at: string, by: number}>} counts
 * @property {Fact[]} sightings               those that stand, in order of time
 * @property {Fact[]} parts                   sightings that name nobody yet
 * @property {Map<number, Seen>} seen
 * @property {Map<string, Group>} groups
 * @property {Fact[]} concerns
 */

const OBSERVED = new Set(['by sight', 'by reading']);

/** The round out of all the facts a phone knows. A round begun on several phones has several ids.
 * @param {string|Set<string>} ids @param {Iterable<Fact>} facts @returns {RoundState} */
export function roundState(ids, facts) {
  const of = typeof ids === 'string' ? new Set([ids]) : ids;
  const known = [...standing(facts).values()].sort(byTime);
  /** @type {RoundState} */
  const state = {
    startedAt: null, startedBy: null, closed: false, closedAt: null, notDone: new Map(), counts: new Map(),
    sightings: [], parts: [], seen: new Map(), groups: new Map(), concerns: [],
  };
  const own = new Set();
  for (const fact of known) {
    if (fact.round && of.has(fact.round)) { own.add(fact.id); takeIn(state, fact); }
  }
  state.concerns = known.filter((fact) => fact.kind === 'concern' && fact.sighting && own.has(fact.sighting));
  place(state);
  return state;
}

/** @param {RoundState} state @param {Fact} fact */
function takeIn(state, fact) {
  if (fact.kind === 'round_started' && !state.startedAt) { state.startedAt = fact.at; state.startedBy = fact.by; }
  else if (fact.kind === 'round_closed') { state.closed = true; state.closedAt = fact.at; }
  else if (fact.kind === 'round_not_done') state.notDone.set(fact.lookalike || '', fact.because || '');
  else if (fact.kind === 'count') {
    state.counts.set(fact.lookalike || '', { counted: fact.counted || 0, at: fact.at, by: fact.by });
  } else if (fact.kind === 'group') group(state, fact);
  else if (fact.kind === 'sighting') sighting(state, fact);
}

/** @param {RoundState} state @param {Fact} fact */
function group(state, fact) {
  if (!fact.group) return;
  const before = state.groups.get(fact.group);
  state.groups.set(fact.group, {
    id: fact.group, size: fact.size || 0, flew: !!fact.flew || !!(before && before.flew), place: fact.place ?? null,
    at: before ? before.at : fact.at, by: before ? before.by : fact.by, positions: new Map(),
  });
}

/** @param {RoundState} state @param {Fact} fact */
function sighting(state, fact) {
  state.sightings.push(fact);
  if (fact.bird === null || fact.bird === undefined || !fact.how) { state.parts.push(fact); return; }
  const before = state.seen.get(fact.bird);
  if (before && OBSERVED.has(before.how) && !OBSERVED.has(fact.how)) return;
  state.seen.set(fact.bird, { sighting: fact, how: fact.how, at: fact.at, by: fact.by });
}

/** Sightings take their places in their groups once every group is known: a sighting may come before its group.
 * @param {RoundState} state */
function place(state) {
  for (const fact of state.sightings) {
    const of = fact.group ? state.groups.get(fact.group) : undefined;
    if (of && fact.position !== null && fact.position !== undefined) of.positions.set(fact.position, fact);
  }
}

/** Whether a bird was observed in this round: by sight or by reading. An inferred bird is not yet a seen one.
 * @param {RoundState} state @param {number} bird @returns {boolean} */
export function observed(state, bird) {
  const seen = state.seen.get(bird);
  return !!seen && OBSERVED.has(seen.how);
}

/** The birds on the roll that nobody has observed in this round, inferred ones among them, in the roll's order.
 * @param {RoundState} state @param {Flock} flock @returns {Bird[]} */
export function unobserved(state, flock) {
  return onTheRoll(flock).filter((bird) => !observed(state, bird.id));
}

/**
 * The figures of one flock in this round.
 * @param {RoundState} state @param {Flock} flock
 * @returns {{roll: number, expected: number, counted: number|null, bySight: number, byReading: number, inferred: number,
 *            seen: number, unseen: number, short: number|null}} `expected`: how many a count should find, a carcase that
 *   nobody could name left out · `short`: how many the count is under that, null before a count
 */
export function sums(state, flock) {
  const roll = onTheRoll(flock), counted = state.counts.get(flock.lookalike)?.counted ?? null;
  const how = (/** @type {string} */ word) => roll.filter((b) => state.seen.get(b.id)?.how === word).length;
  const bySight = how('by sight'), byReading = how('by reading'), inferred = how('inferred');
  const seen = bySight + byReading, expected = roll.length - (flock.carcases || 0);
  return {
    roll: roll.length, expected, counted, bySight, byReading, inferred, seen, unseen: roll.length - seen - inferred,
    short: counted === null ? null : expected - counted,
  };
}

/** The sighting that undo takes back next: the latest that this phone made and that still stands.
 * @param {RoundState} state @param {Set<string>} mine  ids of the facts this phone made
 * @returns {Fact|null} */
export function lastOwn(state, mine) {
  for (let i = state.sightings.length - 1; i >= 0; i -= 1) {
    if (mine.has(state.sightings[i].id)) return state.sightings[i];
  }
  return null;
}

/** The birds already named in one group: no bird is named twice there.
 * @param {RoundState} state @param {string} id @param {number|null} [but]  a position that is being read anew
 * @returns {Set<number>} */
export function namedInGroup(state, id, but = null) {
  const named = new Set();
  for (const [position, fact] of state.groups.get(id)?.positions || []) {
    if (position !== but && typeof fact.bird === 'number') named.add(fact.bird);
  }
  return named;
}

/** The next empty place of a group after one place, from the left; from the start when none is left behind it.
 * @param {Group} group @param {number} after @returns {number} -1 when every place is filled */
export function nextPlace(group, after) {
  for (let step = 1; step <= group.size; step += 1) {
    const position = (after + step) % group.size;
    if (!group.positions.has(position)) return position;
  }
  return -1;
}
