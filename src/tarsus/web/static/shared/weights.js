// @ts-check
// What a weight says: the twin of core/care/weight_told.py and decline.py; both pass tests/published/weight_cases.json.

/** @typedef
 * {{usual_g: number|null, before_g: number|null, months: [number, number][], side_before: number}} Yardstick */
/** @typedef {{prompt_percent: number, alarm_percent: number, low_g: number|null, high_g: number|null}} Limits */
/** @typedef {{prompt: 'nothing'|'weigh again'|'tell the vet', side: number, percent: number|null, says: string}} Judged
 */

const LEAST_MONTHS = 6, SURE = 2.326, ROUNDING = 1e-9;
const TOO_FEW = 'Too few weights yet for a usual one of its own.';
const whole = (/** @type {number} */ number) => Math.floor(number + 0.5);

/** Judge one weight; docs/science/weights.md.
 * @param {number} grams @param {boolean} moulting @param {Yardstick} against @param {Limits} limits
 * @returns {Judged} */
export function judged(grams, moulting, against, limits) {
  const { usual_g: usual, months, side_before: before } = against, alarm = limits.alarm_percent;
  const percent = percentOf(grams, usual), lost = percent ?? percentOf(grams, against.before_g);
  const decline = moulting ? null : declineUntil(grams, months);
  const fallen = decline ? 100 * (grams / decline.began - 1) : 0, worst = Math.min(lost ?? 0, fallen);
  const low = moulting ? alarm : limits.prompt_percent;
  let past = worst <= ROUNDING - alarm, side = worst <= ROUNDING - low ? -1 : 0;
  if (side === 0 && !moulting && percent !== null && percent >= alarm - ROUNDING) {
    side = 1;
    past = true;
  }
  let said = inWords(grams, moulting, against, side) +
    (decline && fallen <= ROUNDING - low ? falling(grams, decline) : '');
  if (usual === null && side === 0) {
    side = sideOfRange(grams, moulting, limits);
    if (side) said = `${whole(grams)} g: outside its species' range. ${TOO_FEW}`;
  }
  if (side === 0) return { prompt: 'nothing', side, percent, says: said };
  if (side === before)
    return { prompt: 'tell the vet', side, percent, says: `${said} It held on a second weighing: tell the vet today.` };
  if (past) return { prompt: 'tell the vet', side, percent, says: `${said} Tell the vet today, and weigh again.` };
  return { prompt: 'weigh again', side, percent, says: `${said} Weigh again. If it holds, tell the vet today.` };
}

/** The steady decline that weights end in: Theil and Sen's line where Kendall's S says that they fall.
 * @param {number} grams @param {[number, number][]} months @returns {{days: number, began: number}|null} */
export function declineUntil(grams, months) {
  /** @type {[number, number][]} */ const points = [...months, [0, grams]];
  const n = points.length;
  if (n < LEAST_MONTHS) return null;
  let falls = 0;
  /** @type {number[]} */ const slopes = [];
  points.forEach(([old, early], at) =>
    points.slice(at + 1).forEach(([recent, late]) => {
      falls += Math.sign(early - late);
      slopes.push((late - early) / (old - recent));
    })
  );
  if ((falls - 1) / Math.sqrt(n * (n - 1) * (2 * n + 5) / 18) < SURE) return null;
  const slope = median(slopes), days = /** @type {[number, number]} */ (points[0])[0];
  return { days, began: median(points.map(([ago, value]) => value - slope * (days - ago))) };
}

/** @param {number[]} values @returns {number} */
function median(values) {
  const sorted = [...values].sort((a, b) => a - b), half = sorted.length / 2;
  return (/** @type {number} */ (sorted[Math.ceil(half) - 1]) + /** @type {number} */ (sorted[Math.floor(half)])) / 2;
}

/** @param {number} grams @param {boolean} moulting @param {Limits} limits @returns {number} */
function sideOfRange(grams, moulting, { low_g: low, high_g: high }) {
  if (low !== null && grams < low) return -1;
  return high !== null && grams > high && !moulting ? 1 : 0;
}

// A pack of an older server has no weight before.
/** @param {number} grams @param {number|null|undefined} against @returns {number|null} */
const percentOf = (grams, against) => (against === null || against === undefined ? null : 100 * (grams / against - 1));

/** @param {number} grams @param {boolean} moulting @param {Yardstick} against @param {number} side @returns {string} */
function inWords(grams, moulting, { usual_g: usual, before_g: before }, side) {
  if (usual === null) {
    const lost = side && typeof before === 'number' && grams < before
      ? `: ${whole(100 * (1 - grams / before))} % under the ${whole(before)} g it weighed before`
      : '';
    return `${whole(grams)} g${lost}. ${TOO_FEW}`;
  }
  const change = whole(Math.abs(100 * (grams / usual - 1)));
  const lead = change ? `${change} % ${grams < usual ? 'under' : 'over'} its own` : 'At its own';
  return `${lead} usual ${whole(usual)} g${
    moulting && change ? ', in moult: what is expected then is for the vet to say' : ''
  }.`;
}

/** @param {number} grams @param {{days: number, began: number}} decline @returns {string} */
function falling(grams, { days, began }) {
  return ` Falling for ${whole(days / 30.4375)} months: ${whole(100 * (1 - grams / began))} % under the ${
    whole(began)
  } g it began with.`;
}
