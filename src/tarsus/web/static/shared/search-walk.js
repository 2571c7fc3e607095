// @ts-check
// A walk to the pins of an exhibit's plan: where missing birds may be, and the order to look. The twin of
// core/presence/search_walk.py: both pass tests/published/search_walk_cases.json.

import { searchOrder } from './search-order.js';
import { counted, percent } from './words.js';

const LEAST_CHANCE = 0.01;

/**
 * @typedef {{place: number, x: number, y: number, minutes: number}} Pin  x and y in shares of the plan's width and
 * height
 * @typedef {{width_m: number, tall: number, metres_a_minute: number, entrance: [number, number] | null}} Ground
 * @typedef {Ground & {pins: Pin[], shapes: {what: string, points: string}[], picture: string}} Plan  picture: a JPEG in
 * base64, or empty
 * @typedef {{bird: number, found: number, places: Record<string, number>}} Missing
 * @typedef
 * {{place: number, x: number, y: number, minutes: number, by: number, likely: [number, number][], expected: number}}
 * Step
 */

/**
 * The walk that finds missing birds soonest; places where none of them is likely are left out.
 * @param {Pin[]} pins @param {Ground} ground @param {Missing[]} missing @returns {Step[]}
 */
export function searchWalk(pins, ground, missing) {
  const likely = new Map(pins.map((pin) => [pin.place, likelyAt(pin.place, missing)]));
  const there = (/** @type {Pin} */ pin) => likely.get(pin.place) || [];
  const asked = pins.filter((pin) => there(pin).length), chance = new Map(missing.map((one) => [one.bird, one.found]));
  const found = asked.map((pin) => there(pin).reduce((sum, [bird, share]) => sum + (chance.get(bird) ?? 0) * share, 0));
  const walk = asked.map((at) => asked.map((pin) => minutesOf(ground, [at.x, at.y], pin)));
  walk.push(asked.map((pin) => minutesOf(ground, ground.entrance, pin)));
  const order = searchOrder(found.map((one) => Math.max(one, 1e-6)), asked.map((pin) => pin.minutes), walk);
  let at = asked.length, by = 0;
  return order.map((one) => {
    const { place, x, y } = asked[one], minutes = walk[at][one] + asked[one].minutes;
    at = one;
    by += minutes;
    return {
      place,
      x,
      y,
      minutes,
      by,
      likely: there(asked[one]),
      expected: there(asked[one]).reduce((sum, [, share]) => sum + share, 0),
    };
  });
}

/** @param {number} place @param {Missing[]} missing @returns {[number, number][]} */
function likelyAt(place, missing) {
  const found = missing.map(({ bird, places }) => /** @type {[number, number]} */ ([bird, places[String(place)] ?? 0]));
  return found.filter(([, share]) => share >= LEAST_CHANCE).sort((a, b) => b[1] - a[1] || a[0] - b[0]);
}

/** @param {Ground} ground @param {[number, number] | null} at @param {Pin} pin */
function minutesOf(ground, at, pin) {
  if (!at) return 0;
  return Math.hypot((pin.x - at[0]) * ground.width_m, (pin.y - at[1]) * ground.width_m * ground.tall) /
    ground.metres_a_minute;
}

/** Minutes in whole ones, at least one. @param {number} minutes */
export const minutesTold = (minutes) => String(Math.max(1, Math.floor(minutes + 0.5)));

/** How many birds are likely, to a tenth. @param {number} expected */
export const birdsTold = (expected) => (Math.floor(10 * expected + 0.5) / 10).toFixed(1);

/**
 * How long a walk takes and who is likely on it. The twin of `walk_told` in core/words/plan.py.
 * @param {number} minutes  of the whole walk; 0 where no place of the plan is likely
 * @param {number} expected  the chances that they are on it, summed over the birds @param {string[]} names
 */
export function walkTold(minutes, expected, names) {
  if (!names.length) return 'Nobody has to be looked for just now.';
  if (!minutes)
    return `${
      names.length === 1 ? `${names[0]} was not` : 'None of them was'
    } seen at a pinned place in the last sixty days.`;
  const whole = minutesTold(minutes), begins = `${whole} ${counted('minute', Number(whole))}.`;
  if (names.length === 1)
    return `${begins} ${names[0]} is on this walk: ${percent(expected)}; elsewhere: ${
      percent(Math.max(0, 1 - expected))
    }.`;
  return `${begins} ${birdsTold(expected)} of ${names.length} likely on this walk; the rest elsewhere.`;
}
