// @ts-check
// When a bird is usually seen, in the prior of who it is: the pack has its factors by part of the day. The twin of
// `part_of_day` in core/readings/times_of_day.py: both pass tests/published/time_cases.json.

/** @typedef {'morning'|'midday'|'evening'} Part */

/** @type {[Part, number][]} each with the hour at which it begins */
const PARTS = [['morning', 0], ['midday', 10], ['evening', 16]];

/** @param {number} hour of the park's clock @returns {Part} */
export const partOfDay = (hour) =>
  PARTS.filter(([, begins]) => begins <= hour)[PARTS.filter(([, begins]) => begins <= hour).length - 1][0];

/** @type {Map<string|undefined, Intl.DateTimeFormat>} one a zone: to make it costs twenty times what it is used for */
const clocks = new Map();

/** The hour on the park's clock. @param {Date} moment @param {string} [zone] the phone's own where none is told */
export function parkHour(moment, zone) {
  let clock = clocks.get(zone);
  if (!clock) {
    clock = new Intl.DateTimeFormat('en-GB', { timeZone: zone || undefined, hour: '2-digit', hourCycle: 'h23' });
    clocks.set(zone, clock);
  }
  return Number(clock.format(moment));
}

/** By how much each bird is likelier to be the one, for being seen at this time.
 * @param {{times?: Partial<Record<Part, number>>}[]} birds @param {Date} moment @param {string} [zone]
 * @returns {number[]} */
export function timeFactors(birds, moment, zone) {
  if (!birds.some(({ times }) => times)) return birds.map(() => 1);
  const part = partOfDay(parkHour(moment, zone));
  return birds.map(({ times }) => times?.[part] ?? 1);
}
