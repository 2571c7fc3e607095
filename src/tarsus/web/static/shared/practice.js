// @ts-check
// Learn the flock: which bird is shown next, whether the answer was right, how ready somebody is. A person's answers
// stay on this phone.

import { afterAnswer, known, RIGHT, WRONG } from './practice-memory.js';

/** @typedef {import('./practice-memory.js').Memory} Memory */
/** @typedef {import('./reading.js').PreparedFlock} PreparedFlock */
/** @typedef {{bird: number, said: number|null, at: number, read?: import('./pack.js').Reading}} Answered   said: the
 * name that was
 *   tapped; null is *cannot tell* · read: what was told on the keys */
/** @typedef {{memories: Record<string, Memory>, answers: Answered[]}} Learnt   answers: the latest last */
/** @typedef {{turn: number, recent: number[], soon: {bird: number, turn: number}[]}} Session */

/** Readiness is told of so many answers; so many are kept. */
export const LATEST = 40;
const KEPT = 400;
/** No practice outweighs so many real checks: no more is shared. */
export const MOST_SHARED = 20;
/** Somebody is ready whose share of names right is surely no lower. Ours. */
export const READY_FROM = 0.8;
/** A bird that was named wrongly comes back after so many others, the one it was taken for before it; nobody is shown
 * again within so many. All three are ours. */
const BACK_AFTER = 4, TAKEN_FOR_AFTER = 2, NOT_WITHIN = 3;
/** How much of a bird's turn it keeps when it is surely known, and how much oftener the most confused bird comes. Ours.
 */
const KNOWN_TOO = 0.05, CONFUSED = 2;
/** The normal quantile of an interval of 95 %. */
const Z = 1.959963984540054;

/** @type {Learnt} */
export const NOTHING_LEARNT = { memories: {}, answers: [] };
/** @returns {Session} */
export const newSession = () => ({ turn: 0, recent: [], soon: [] });

/**
 * How easily each bird of a flock is taken for another, by the reader's own errors: the chance that somebody reads
 * exactly what another bird wears, over the chance of reading what it wears itself, summed over the others.
 * @param {PreparedFlock} flock @returns {Map<number, number>}
 */
export function confusedWith(flock) {
  const worn = flock.sites.filter((site) => site.worn || flock.sites[site.mirror].worn);
  const read = (/** @type {number} */ as, /** @type {number} */ of) => {
    let straight = 1 - flock.misreading.swap, crossed = flock.misreading.swap;
    for (const { codes, mirror } of worn) {
      const table = flock.table(flock.stacks[codes[as]]);
      straight *= table[codes[of]];
      crossed *= table[flock.sites[mirror].codes[of]];
    }
    return straight + crossed;
  };
  return new Map(flock.ids.map((id, b) => {
    const own = read(b, b);
    return [id, flock.ids.reduce((sum, _, other) => (other === b || !(own > 0) ? sum : sum + read(other, b) / own), 0)];
  }));
}

/**
 * The bird that is shown next: one that was just confused, else one by how little it may be remembered and how easily
 * it is confused.
 * @param {number[]} birds @param {Learnt} learnt @param {Map<number, number>} confused @param {Session} session
 * @param {{now: number, chance: number}} by  chance: from 0 to 1, the only hazard @returns {number}
 */
export function nextBird(birds, learnt, confused, session, { now, chance }) {
  const rest = birds.filter((bird) => !session.recent.includes(bird)), of = rest.length ? rest : birds;
  const back = session.soon.find(({ bird, turn }) => turn <= session.turn && of.includes(bird));
  if (back) return back.bird;
  const most = Math.max(...birds.map((bird) => confused.get(bird) || 0), 1e-12);
  const weights = of.map((bird) => {
    const memory = learnt.memories[bird], forgotten = memory ? 1 - known(memory, now) : 1;
    return (forgotten + KNOWN_TOO) * (1 + (CONFUSED * (confused.get(bird) || 0)) / most);
  });
  let left = chance * weights.reduce((sum, weight) => sum + weight, 0);
  for (let at = 0; at < of.length; at += 1) {
    left -= weights[at];
    if (left < 0) return of[at];
  }
  return of[of.length - 1];
}

/** What is known after one answer, and what comes soon. @param {Learnt} learnt @param {Session} session
 * @param {Answered} answer
 * @returns {{learnt: Learnt, session: Session, right: boolean}} */
export function answered(learnt, session, answer) {
  const { bird, said, at } = answer, right = said === bird, { turn } = session;
  const memories = { ...learnt.memories, [bird]: afterAnswer(learnt.memories[bird], right ? RIGHT : WRONG, at) };
  // Who was taken for it is to be told from it: both come again, side by side.
  const again = right
    ? []
    : [...(said === null ? [] : [{ bird: said, turn: turn + TAKEN_FOR_AFTER }]), { bird, turn: turn + BACK_AFTER }];
  const waiting = session.soon.filter((one) => one.bird !== bird && !again.some((other) => other.bird === one.bird));
  return {
    learnt: { memories, answers: [...learnt.answers, answer].slice(-KEPT) },
    right,
    session: { turn: turn + 1, recent: [...session.recent, bird].slice(-NOT_WITHIN), soon: [...waiting, ...again] },
  };
}

/** The interval of 95 % of a share (Wilson 1927). @param {number} right @param {number} of
 * @returns {{low: number, high: number}} */
export function wilson(right, of) {
  if (!of) return { low: 0, high: 1 };
  const share = right / of, square = Z * Z, middle = share + square / (2 * of), whole = 1 + square / of;
  const half = Z * Math.sqrt((share * (1 - share)) / of + square / (4 * of * of));
  return { low: Math.max(0, (middle - half) / whole), high: Math.min(1, (middle + half) / whole) };
}

/** How ready somebody is: names right of the latest, with an interval, and whom to look at again, the oftenest confused
 * first.
 * @param {Answered[]} answers @param {Set<number>} here  birds of this exhibit
 * @returns
 * {{right: number, of: number, low: number, high: number, ready: boolean, again: {bird: number, wrong: number,
 * said: number[]}[]}} */
export function readiness(answers, here) {
  const latest = answers.filter(({ bird }) => here.has(bird)).slice(-LATEST),
    right = latest.filter(({ bird, said }) => bird === said).length;
  /** @type {Map<number, {bird: number, wrong: number, said: number[]}>} */
  const wrong = new Map();
  for (const { bird, said } of latest) {
    if (said === bird) continue;
    const one = wrong.get(bird) || { bird, wrong: 0, said: [] };
    one.wrong += 1;
    if (said !== null && here.has(said) && !one.said.includes(said)) one.said.push(said);
    wrong.set(bird, one);
  }
  const between = wilson(right, latest.length);
  return {
    right,
    of: latest.length,
    ...between,
    ready: between.low >= READY_FROM,
    again: [...wrong.values()].sort((a, b) => b.wrong - a.wrong),
  };
}

/** What is shared of practice with one flock: whether its owner is ready, and what they read of whom, the latest last.
 * @param {Answered[]} answers @param {Map<number, import('./pack.js').Marks>} marks  of the flock's birds
 * @returns {{ready: boolean, answers: {read: import('./pack.js').Reading, worn: import('./pack.js').Marks}[]}} */
export function sharedOf(answers, marks) {
  const told = answers.flatMap(({ bird, read }) => {
    const worn = marks.get(bird);
    return read && worn ? [{ read, worn }] : [];
  });
  return { ready: readiness(answers, new Set(marks.keys())).ready, answers: told.slice(-MOST_SHARED) };
}
