// @ts-check
// Which round a phone is calling. Phones out of signal may each have begun one in the same exhibit: what they tell adds
// up, so a round is a set of ids, of which the earliest begun speaks for all.

import { byTime, standing } from './facts.js';

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {import('./pack.js').Pack} Pack */

/** A round that nobody closed is taken for an open one so long; after that a new morning begins a new round. */
const STALE_HOURS = 14;

/** @typedef {{id: string, ids: Set<string>, started: boolean, theirs: Fact[]}} Calling */

/**
 * The round that this phone is calling: the one open on the server, or the one it began itself, or a fresh one.
 * @param {Pack} pack @param {Fact[]} own  what this phone told, sent or not
 * @param {{now: number, fresh: string}} moment  the time, and an id for a round that begins now
 * @returns {Calling}
 */
export function openRound(pack, own, { now, fresh }) {
  const known = standing(own);
  const over = new Set([...known.values()].filter((fact) => fact.kind === 'round_closed' || wholeNotDone(fact)).map((fact) => fact.round || ''));
  for (const { id } of pack.rounds_over || []) over.add(id);
  const mine = [...known.values()].filter((fact) => fact.kind === 'round_started' && fact.exhibit === pack.exhibit.id
    && !over.has(fact.round || '') && now - Date.parse(fact.at) < STALE_HOURS * 3600000).sort(byTime);
  const theirs = pack.round && !over.has(pack.round.id) ? pack.round : null;
  const ids = new Set(mine.map((fact) => /** @type {string} */ (fact.round)));
  for (const one of theirs ? [theirs.id, ...(theirs.ids || [])] : []) if (!over.has(one)) ids.add(one);
  const id = theirs ? theirs.id : mine.length ? /** @type {string} */ (mine[0].round) : fresh;
  return { id, ids: new Set([...ids, id]), started: ids.size > 0, theirs: theirs ? told(theirs) : [] };
}

/** Whether a round was given up for the whole exhibit. @param {Fact} fact @returns {boolean} */
const wholeNotDone = (fact) => fact.kind === 'round_not_done' && !fact.lookalike;

/** What the server tells of its open round, as facts like any others. @param {NonNullable<Pack['round']>} round @returns {Fact[]} */
function told(round) {
  const start = { id: `${round.id} started`, kind: 'round_started', at: round.started_at, by: round.by, round: round.id };
  return [start, ...round.count_facts, ...round.sightings, ...round.groups, ...round.concerns, ...round.withdrawn];
}
