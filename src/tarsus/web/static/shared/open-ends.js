// @ts-check
// A reading with an open end, "red, perhaps more below": the chance of all the readings that it can be completed to.
// The twin of core/readings/open_ends.py; docs/science/reading.md, eq. 9.

/** Stands in a reading for any number of bands that were not made out, none included. */
export const OPEN_END = '*';

/** Which sequences of words a reading stands for: `to[state][word]` is the state after a word, beginning in state 0;
 * `fits[state]` whether the bands so far are one of the readings.
 * @typedef {{to: number[][], fits: boolean[]}} Completions */

/** Sets of places in the reading are the states; each sequence of words is counted once, however it fits.
 * @param {number[]} read  codes of words, -1 for an open end, `words` for any one band @param {number} words
 * @returns {Completions} */
export function completions(read, words) {
  const OPEN = -1;
  const reached = (/** @type {Set<number>} */ places) => {
    read.forEach((band, at) => {
      if (band === OPEN && places.has(at)) places.add(at + 1);
    });
    return places;
  };
  const after = (/** @type {Set<number>} */ places, /** @type {number} */ word) => {
    const there = new Set();
    for (const at of places) {
      if (read[at] === OPEN) there.add(at);
      else if (at < read.length && (read[at] === word || read[at] === words)) there.add(at + 1);
    }
    return reached(there);
  };
  const keyOf = (/** @type {Set<number>} */ places) => [...places].sort((a, b) => a - b).join();
  const states = [reached(new Set([0]))];
  const known = new Map([[keyOf(states[0]), 0]]);
  const to = [];
  for (let q = 0; q < states.length; q += 1) {
    to.push(Array.from({ length: words }, (_, word) => {
      const there = after(states[q], word), key = keyOf(there);
      if (!known.has(key)) known.set(key, states.push(there) - 1);
      return /** @type {number} */ (known.get(key));
    }));
  }
  return { to, fits: states.map((places) => places.has(read.length)) };
}

/** Chance to go from state to state by one band of each kind, as `[kind][from * states + to]`.
 * @param {Completions} allowed @param {ArrayLike<number>[]} shown  [word][kind] @returns {Float64Array[]} */
export function steps({ to }, shown) {
  const states = to.length;
  return Array.from(shown[0], (_, kind) => {
    const step = new Float64Array(states * states);
    to.forEach((row, q) =>
      row.forEach((there, word) => {
        step[q * states + there] += shown[word][kind];
      })
    );
    return step;
  });
}

/** Adds `from` moved by a step to `into`. @param {Float64Array} from @param {Float64Array} step
 * @param {Float64Array} into */
function move(from, step, into) {
  const states = from.length;
  for (let q = 0; q < states; q += 1) {
    if (from[q] === 0) continue;
    for (let r = 0; r < states; r += 1) into[r] += from[q] * step[q * states + r];
  }
}

/**
 * The chance of all completions, for one stack: which bands show, which pair is turned over and how each is read are
 * summed band by band.
 * @param {Completions} allowed @param {Float64Array[]} step  of `steps` @param {number[]} worn  kinds of its bands
 * @param {number} gone  chance that a band does not show @param {number} flip @returns {number}
 */
export function openChance({ fits }, step, worn, gone, flip) {
  const none = () => Array.from({ length: worn.length + 1 }, () => new Float64Array(fits.length));
  // kept[m]: so far m bands showed, in their own order; turned: one pair of them the other way round.
  let kept = none(), turned = none();
  kept[0][0] = 1;
  /** @type {{before: Float64Array[], upper: Float64Array, left: number}[]} */
  const held = [];
  for (const kind of worn) {
    const newKept = kept.map((row) => row.map((chance) => chance * gone));
    const newTurned = turned.map((row) => row.map((chance) => chance * gone));
    for (let m = 0; m < worn.length; m += 1) {
      move(kept[m], step[kind], newKept[m + 1]);
      move(turned[m], step[kind], newTurned[m + 1]);
    }
    for (const pair of held) {
      for (let m = 0; m + 1 < worn.length; m += 1) {
        const lower = new Float64Array(fits.length); // the band held back is read after this one
        move(pair.before[m].map((chance) => chance * pair.left), step[kind], lower);
        move(lower, pair.upper, newTurned[m + 2]);
      }
      pair.left *= gone;
    }
    held.push({ before: kept, upper: step[kind], left: 1 });
    kept = newKept;
    turned = newTurned;
  }
  let chance = 0;
  const fitting = (/** @type {Float64Array} */ row) => row.reduce((sum, one, q) => sum + (fits[q] ? one : 0), 0);
  for (let m = 0; m <= worn.length; m += 1) {
    chance += m < 2 ? fitting(kept[m]) : (1 - flip) * fitting(kept[m]) + (flip / (m - 1)) * fitting(turned[m]);
  }
  return chance;
}

/** The same where a geometric number of bands shows, all of one kind. @param {Completions} allowed
 * @param {Float64Array} step  of that kind @param {number} another  chance that one more band shows, a half at most
 * @returns {number} */
export function alikeOpenChance({ fits }, step, another) {
  let row = new Float64Array(fits.length), chance = 0;
  row[0] = 1 - another;
  for (let shown = 0; shown < 64; shown += 1) { // a half to the 64th is under a double's last digit
    row.forEach((one, q) => {
      if (fits[q]) chance += one;
    });
    const next = new Float64Array(fits.length);
    move(row, step, next);
    row = next.map((one) => one * another);
  }
  return chance;
}

/** Whether a bird that wears these bands can be what was read, nothing having gone wrong.
 * @param {string[]} read @param {string[]} worn @returns {boolean} */
export function goesWith(read, worn) {
  if (!read.length) return !worn.length;
  const [first, ...rest] = read;
  if (first === OPEN_END) return goesWith(rest, worn) || (worn.length > 0 && goesWith(read, worn.slice(1)));
  return worn.length > 0 && (first === '?' || first === worn[0]) && goesWith(rest, worn.slice(1));
}
