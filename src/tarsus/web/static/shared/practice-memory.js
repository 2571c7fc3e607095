// @ts-check
// How well a bird is remembered: stability and difficulty of one card, by the formulas of FSRS-6 with its published
// parameters (open-spaced-repetition, MIT; Ye, Su & Cao 2022, KDD, doi 10.1145/3534678.3539081). Checked against the
// reference implementation in tests/published/memory_cases.json.

/** @typedef {{stability: number, difficulty: number, at: number}} Memory   at: of the last look, milliseconds;
 * stability in days */

/** Answered wrongly · rightly. FSRS grades four ways; a name is right or it is not. */
export const WRONG = 1, RIGHT = 3;

/** The published default parameters of FSRS-6. */
const W = [
  0.212,
  1.2931,
  2.3065,
  8.2956,
  6.4133,
  0.8334,
  3.0194,
  0.001,
  1.8722,
  0.1666,
  0.796,
  1.4835,
  0.0614,
  0.2629,
  1.6483,
  0.6014,
  1.8729,
  0.5425,
  0.0912,
  0.0658,
  0.1542,
];
const EASY = 4, DECAY = -W[20], FACTOR = 0.9 ** (1 / DECAY) - 1;
const DAY = 86400000, LEAST = 0.001;

/** @param {number} difficulty */
const bounded = (difficulty) => Math.min(Math.max(difficulty, 1), 10);
/** @param {number} grade */
const firstDifficulty = (grade) => W[4] - Math.exp(W[5] * (grade - 1)) + 1;

/** The chance that a bird is still known. Days are whole in the reference; here they run on.
 * @param {Memory} memory @param {number} now @returns {number} */
export const known = ({ stability, at }, now) => (1 + (FACTOR * Math.max(0, now - at)) / DAY / stability) ** DECAY;

/** What is remembered after an answer. @param {Memory|undefined} before @param {1|3} grade @param {number} now
 * @returns {Memory} */
export function afterAnswer(before, grade, now) {
  if (!before)
    return { stability: Math.max(W[grade - 1], LEAST), difficulty: bounded(firstDifficulty(grade)), at: now };
  const { stability, difficulty } = before, sameDay = now - before.at < DAY;
  const next = sameDay ? withinADay(stability, grade) : daysLater(before, grade, now);
  const changed = difficulty + ((10 - difficulty) * -(W[6] * (grade - 3))) / 9;
  return {
    stability: Math.max(next, LEAST),
    difficulty: bounded(W[7] * firstDifficulty(EASY) + (1 - W[7]) * changed),
    at: now,
  };
}

/** @param {number} stability @param {1|3} grade @returns {number} */
function withinADay(stability, grade) {
  const grows = Math.exp(W[17] * (grade - 3 + W[18])) * stability ** -W[19];
  return stability * (grade === RIGHT ? Math.max(grows, 1) : grows);
}

/** @param {Memory} before @param {1|3} grade @param {number} now @returns {number} */
function daysLater(before, grade, now) {
  const { stability, difficulty } = before, forgotten = 1 - known(before, now);
  if (grade === RIGHT)
    return stability *
      (1 + Math.exp(W[8]) * (11 - difficulty) * stability ** -W[9] * (Math.exp(forgotten * W[10]) - 1));
  const relearnt = W[11] * difficulty ** -W[12] * ((stability + 1) ** W[13] - 1) * Math.exp(forgotten * W[14]);
  return Math.min(relearnt, stability / Math.exp(W[17] * W[18]));
}
