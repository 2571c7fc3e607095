// @ts-check
// One roll call as the page asks it: who is seen, how, the counts, the groups, who is unseen. The same facts, from this
// phone and from others, in any order and said any number of times, give the same.

import { groupState, joinable } from './calls.js';
import { standing } from './facts.js';
import { clears } from './naming.js';
import { onTheRoll } from './pack.js';
import { CLEARS, witnesses } from './witnesses.js';

export { groupState } from './calls.js';

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {import('./pack.js').Flock} Flock */
/** @typedef {import('./pack.js').Bird} Bird */
/** @typedef {import('./calls.js').RollCall} RollCall */
/** @typedef {import('./calls.js').When} When */

/**
 * @typedef {object} Seen            how one bird stands in the roll call
 * @property {Fact} sighting         the sighting that stands for it: a sure one before a doubtful, a doubtful before an
 *   inferred one, then the latest
 * @property {'by sight'|'by reading'|'inferred'} how
 * @property {boolean} sure          that it is a seen bird: by sight, or by a reading that was sure enough
 * @property {boolean} [once]        that only one look stands behind the readings of a bird on *search*: it is not sure
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
 * @property {RollCall|null} call   the roll call as the fold has it; null before anything was told
 * @property {import('./calls.js').Phase} phase
 * @property {string|null} startedAt
 * @property {number|null} startedBy
 * @property {boolean} closed
 * @property {string|null} closedAt           when the last of its rounds ended
 * @property {number|null} closedBy
 * @property {Map<string, {state: import('./calls.js').GroupState, because: string}>} groupStates   ask `groupState`
 * @property {Map<string, string>} notDone    look-alike group ('' is the whole exhibit) to its reason
 * @property {Map<string, import('./counting.js').Counts>} counts   side by side; `counted` is the lowest that stands
 * @property {Fact[]} sightings               those that stand, in order of time
 * @property {Fact[]} parts                   sightings that name nobody yet
 * @property {Map<number, Seen>} seen
 * @property {Map<string, Group>} groups
 * @property {Fact|null} light     what was last said of the light on the birds
 * @property {Fact[]} concerns
 * @property {Set<string>} late               sightings that stand beside the closed version
 */

/** How firmly a sighting names its bird: 0 not at all. @param {Fact} fact @returns {number} */
const firmness = (fact) => (clears(fact) ? 3 : fact.how === 'by reading' ? 2 : 1);

/** The roll call to which some rounds belong, as the page asks it; an empty one before anything was told of them.
 * @param {string|Set<string>} ids  any of its rounds @param {RollCall[]} calls  of `openRound`
 * @param {Iterable<Fact>} facts  all that is known: the concerns about its sightings stand there
 * @param {Iterable<number>} [searched]  the birds on *search*, which one reading does not clear
 * @returns {RoundState} */
export function roundState(ids, calls, facts, searched = []) {
  const of = typeof ids === 'string' ? new Set([ids]) : ids;
  const call = calls.find(({ rounds }) => rounds.some(({ id }) => of.has(id))) || null;
  const ended =
    (call?.rounds || []).flatMap((round) => round.ended || []).sort((a, b) => Date.parse(b.at) - Date.parse(a.at))[0];
  const over = call && call.phase !== 'open' ? ended : null;
  /** @type {RoundState} */
  const state = {
    call,
    phase: call?.phase || 'open',
    startedAt: call?.rounds[0].begunAt ?? null,
    startedBy: call?.rounds[0].begunBy ?? null,
    closed: call?.phase === 'closed',
    closedAt: over?.at ?? null,
    closedBy: over?.by ?? null,
    groupStates: call?.groups || new Map(),
    notDone: new Map(),
    counts: call?.counts || new Map(),
    sightings: [],
    parts: [],
    seen: new Map(),
    groups: new Map(),
    light: null,
    concerns: [],
    late: call?.late || new Set(),
  };
  for (const [name, { state: word, because }] of state.groupStates)
    if (word === 'not done') state.notDone.set(name, because);
  for (const fact of call?.facts || []) {
    if (fact.kind === 'group') group(state, fact);
    else if (fact.kind === 'sighting') sighting(state, fact);
    else if (fact.kind === 'round_light') state.light = fact;
  }
  const own = new Set(state.sightings.map(({ id }) => id));
  state.concerns = [...standing(facts).values()].filter((fact) =>
    fact.kind === 'concern' && fact.sighting && own.has(fact.sighting)
  );
  place(state);
  for (const bird of searched) lookAgain(state, bird);
  return state;
}

/** A standing alarm stands: whoever is searched for is cleared by sight or by two independent readings.
 * @param {RoundState} state @param {number} bird */
function lookAgain(state, bird) {
  const seen = state.seen.get(bird);
  if (!seen?.sure) return;
  const looks = state.sightings.filter((fact) => fact.bird === bird && clears(fact));
  if (
    witnesses(
      looks.map(({ at, by, how, photographed }) => ({
        at: Date.parse(at),
        by,
        known: how === 'by sight',
        photographed: !!photographed,
      })),
    ) < CLEARS
  ) state.seen.set(bird, { ...seen, sure: false, once: true });
}

/** @param {RoundState} state @param {Fact} fact */
function group(state, fact) {
  if (!fact.group) return;
  const before = state.groups.get(fact.group);
  state.groups.set(fact.group, {
    id: fact.group,
    size: fact.size || 0,
    flew: !!fact.flew || !!(before && before.flew),
    place: fact.place ?? null,
    at: before ? before.at : fact.at,
    by: before ? before.by : fact.by,
    positions: new Map(),
  });
}

/** @param {RoundState} state @param {Fact} fact */
function sighting(state, fact) {
  state.sightings.push(fact);
  if (fact.bird === null || fact.bird === undefined || !fact.how) {
    state.parts.push(fact);
    return;
  }
  const before = state.seen.get(fact.bird);
  if (before && firmness(before.sighting) > firmness(fact)) return;
  state.seen.set(fact.bird, { sighting: fact, how: fact.how, sure: clears(fact), at: fact.at, by: fact.by });
}

/** Sightings take their places in their groups once every group is known: a sighting may come before its group.
 * @param {RoundState} state */
function place(state) {
  for (const fact of state.sightings) {
    const of = fact.group ? state.groups.get(fact.group) : undefined;
    if (of && fact.position !== null && fact.position !== undefined) of.positions.set(fact.position, fact);
  }
}

/** Whether a bird was observed: by sight or by a sure reading. A doubtful or inferred bird is not yet a seen one.
 * @param {RoundState} state @param {number} bird @returns {boolean} */
export function observed(state, bird) {
  return !!state.seen.get(bird)?.sure;
}

/** The birds on the roll that nobody has observed in this round, doubtful and inferred ones among them, in the roll's
 * order. @param {RoundState} state @param {Flock} flock @returns {Bird[]} */
export function unobserved(state, flock) {
  return onTheRoll(flock).filter((bird) => !observed(state, bird.id));
}

/** Of the birds on a roll who was seen, who was asked for in vain, and who was not asked for: excused, or of a
 * look-alike group that was not called. @param {RoundState} state
 * @param {{id: number, lookalike: string, excused?: string}[]} roll
 * @returns {{seen: number[], unseen: number[], notAsked: number[]}} each in the roll's order */
export function answer(state, roll) {
  const answered = {
    seen: /** @type {number[]} */ ([]),
    unseen: /** @type {number[]} */ ([]),
    notAsked: /** @type {number[]} */ ([]),
  };
  for (const { id, lookalike, excused } of roll) {
    const asked = !excused && ['begun', 'called'].includes(groupState({ groups: state.groupStates }, lookalike).state);
    (observed(state, id) ? answered.seen : asked ? answered.unseen : answered.notAsked).push(id);
  }
  return answered;
}

/** The flocks that closing now would leave not called: birds are on the roll, and there is neither a count, nor a sure
 * name, nor a word why not. @param {RoundState} state @param {Flock[]} flocks @returns {Flock[]} */
export function notCalled(state, flocks) {
  return flocks.filter((flock) =>
    onTheRoll(flock).length > 0 && groupState({ groups: state.groupStates }, flock.lookalike).state === 'not called'
  );
}

/** The rounds of a call that is over which `round_reopened` opens again; none where it is too late for that.
 * @param {RoundState} state @param {When} when @returns {string[]} */
export function toReopen(state, { now, zone }) {
  if (!state.call || state.phase === 'open' || state.phase === 'left open') return [];
  return state.call.rounds.filter((round) => round.ended && joinable(round.begun, now, zone)).map(({ id }) => id);
}

/**
 * The figures of one flock in this round.
 * @param {RoundState} state @param {Flock} flock
 * @returns {{roll: number, expected: number, counted: number|null, differ: boolean, bySight: number, byReading: number,
 *            doubtful: number, inferred: number, seen: number, unseen: number, short: number|null}}
 *   expected: how many a count should find, a carcase that nobody could name left out · short: how many the count is
 *   under that, null before a count; of two counts that differ the lower speaks · doubtful: named by readings that were
 *   not sure, and so among the unseen
 */
export function sums(state, flock) {
  const roll = onTheRoll(flock), counts = state.counts.get(flock.lookalike), counted = counts?.counted ?? null;
  const how = (/** @type {string} */ word, sure = true) =>
    roll.filter(({ id }) => {
      const one = state.seen.get(id);
      return one?.how === word && one.sure === sure;
    }).length;
  const bySight = how('by sight'), byReading = how('by reading'), inferred = how('inferred', false);
  const seen = bySight + byReading, expected = roll.length - (flock.carcases || 0);
  return {
    roll: roll.length,
    expected,
    counted,
    differ: !!counts?.differ,
    bySight,
    byReading,
    doubtful: how('by reading', false),
    inferred,
    seen,
    unseen: roll.length - seen - inferred,
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
