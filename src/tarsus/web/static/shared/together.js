// @ts-check
// The readings of one round set out for weighing together: groups in which every reading is another bird, a reading
// outside any group by itself, a place that was only counted as a reading of nothing.

import { DOUBTFUL_BELOW } from './certainty.js';
import { clears } from './naming.js';

/** @typedef {import('./pack.js').Flock} Flock */
/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {import('./round.js').RoundState} RoundState */
/** @typedef {{weights: ArrayLike<number>[], strangers: number[]}} GroupOfReadings */
/** @typedef {{groups: GroupOfReadings[], facts: (Fact|null)[][]}} SetOut  facts[g][r] is what row r of group g stands
 * for */

/** Whether a sighting leaves open whom it was of: nobody was named, or not surely. @param {Fact} fact
 * @returns {boolean} */
export const leavesOpen = (fact) => fact.how !== 'inferred' && !clears(fact);

/**
 * @param {RoundState} state @param {Flock} flock
 * @param {(fact: Fact) => {chances: ArrayLike<number>, none: number}} weigh  one part reading alone, in the flock's
 * order
 * @returns {SetOut} empty where no reading was left open: then nothing is to be inferred
 */
export function setOut(state, flock, weigh) {
  const open = state.sightings.filter((fact) => leavesOpen(fact) && fact.lookalike === flock.lookalike && fact.reading);
  /** @type {SetOut} */
  const out = { groups: [], facts: [] };
  if (!open.length) return out;
  const at = new Map(flock.birds.map((bird, i) => [bird.id, i]));
  const row = (/** @type {Fact|null} */ fact) => {
    if (fact && !leavesOpen(fact)) {
      const named = new Array(flock.birds.length).fill(0);
      named[/** @type {number} */ (at.get(/** @type {number} */ (fact.bird)))] = 1;
      return { chances: named, none: 0 };
    }
    return fact ? weigh(fact) : { chances: flock.birds.map((bird) => bird.prior || 1), none: 0 };
  };
  const put = (/** @type {(Fact|null)[]} */ facts) => {
    const rows = facts.map(row);
    out.groups.push({ weights: rows.map((one) => one.chances), strangers: rows.map((one) => one.none) });
    out.facts.push(facts);
  };
  const grouped = new Set();
  for (const group of state.groups.values()) {
    const here = [...group.positions.values()].filter((fact) =>
      fact.lookalike === flock.lookalike && (fact.bird == null || at.has(fact.bird))
    );
    if (!here.some((fact) => leavesOpen(fact) && fact.reading)) continue;
    here.forEach((fact) => grouped.add(fact.id));
    const unread = here.length === group.positions.size ? Math.max(0, group.size - group.positions.size) : 0;
    put([...here.map((fact) => (leavesOpen(fact) && !fact.reading ? null : fact)), ...new Array(unread).fill(null)]);
  }
  for (const fact of open) if (!grouped.has(fact.id)) put([fact]);
  return out;
}

/**
 * The birds that nobody observed and that the part readings together can hardly leave out.
 * @param {Flock} flock @param {SetOut} out @param {{groups: {chances: ArrayLike<number>[]}[]}} weighed
 * @param {(id: number) => boolean} seen
 * @returns {Map<number, {chance: number, fact: Fact}>}
 */
export function inferred(flock, out, weighed, seen) {
  /** @type {Map<number, {chance: number, fact: Fact}>} */
  const found = new Map();
  flock.birds.forEach((bird, b) => {
    if (seen(bird.id) || !bird.counted) return;
    let never = 1, best = 0;
    /** @type {Fact|null} */
    let of = null;
    out.facts.forEach((facts, g) => {
      let here = 0;
      facts.forEach((fact, r) => {
        const chance = weighed.groups[g].chances[r][b];
        if (fact && leavesOpen(fact)) here += chance;
        if (fact && leavesOpen(fact) && chance > best) {
          best = chance;
          of = fact;
        }
      });
      never *= 1 - Math.min(1, here);
    });
    if (of && 1 - never >= DOUBTFUL_BELOW) found.set(bird.id, { chance: 1 - never, fact: of });
  });
  return found;
}
