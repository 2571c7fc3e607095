// @ts-check
// In which order to look at places: the most birds found a minute first, walking counted. The twin of
// core/presence/search_order.py: both pass tests/published/search_order_cases.json.

const EXACT_UP_TO = 8;
const GAIN = 1e-9;

/** @typedef {number[]} Minutes */

/**
 * What an order costs: minutes until each bird is found, weighed with its chance, summed.
 * @param {number[]} order @param {number[]} found @param {Minutes} minutes @param {Minutes[]} walk @returns {number}
 */
export function waiting(order, found, minutes, walk) {
  let at = found.length, clock = 0, cost = 0;
  for (const place of order) {
    clock += walk[at][place] + minutes[place];
    cost += found[place] * clock;
    at = place;
  }
  return cost;
}

/**
 * The order of places in which missing birds are found soonest.
 * @param {number[]} found  birds expected to be found by looking at a place, above 0
 * @param {Minutes} minutes  to look a place over, above 0
 * @param {Minutes[]} walk  minutes from a place to each, the last row from where the walk begins
 * @returns {number[]} indices of places, the first to look at first
 */
export function searchOrder(found, minutes, walk) {
  return found.length <= EXACT_UP_TO
    ? exact(found, minutes, walk)
    : mended(greedy(found, minutes, walk), found, minutes, walk);
}

/** Each step is charged to all that is still to be found: so its cost needs no clock.
 * @param {number[]} found @param {Minutes} minutes @param {Minutes[]} walk */
function exact(found, minutes, walk) {
  const size = found.length, places = found.map((_, place) => place);
  /** @type {Map<number, {cost: number, order: number[]}>} */
  const best = new Map([[size, { cost: 0, order: [] }]]),
    key = (/** @type {number} */ looked, /** @type {number} */ at) => looked * (size + 1) + at;
  for (let looked = 0; looked < 1 << size; looked += 1) {
    const open = places.filter((place) => !((looked >> place) & 1)),
      left = open.reduce((sum, place) => sum + found[place], 0);
    for (let at = 0; at <= size; at += 1) {
      const state = best.get(key(looked, at));
      if (!state) continue;
      for (const place of open) {
        const cost = state.cost + left * (walk[at][place] + minutes[place]),
          then = key(looked | (1 << place), place),
          known = best.get(then);
        if (!known || cost < known.cost - GAIN) best.set(then, { cost, order: [...state.order, place] });
      }
    }
  }
  const ends = places.map((at) => best.get(key((1 << size) - 1, at)) || { cost: Infinity, order: [] });
  return ends.reduce((chosen, end) => (end.cost < chosen.cost - GAIN ? end : chosen), ends[0] || { cost: 0, order: [] })
    .order;
}

/** Always on to where most is found a minute from here. @param {number[]} found @param {Minutes} minutes
 * @param {Minutes[]} walk */
function greedy(found, minutes, walk) {
  const order = /** @type {number[]} */ ([]);
  let at = found.length, left = found.map((_, place) => place);
  while (left.length) {
    const rate = (/** @type {number} */ place) => found[place] / (walk[at][place] + minutes[place]);
    const chosen = left.reduce((best, place) => (rate(place) > rate(best) + GAIN ? place : best));
    order.push(chosen);
    left = left.filter((place) => place !== chosen);
    at = chosen;
  }
  return order;
}

/** The best move is made until none is better. @param {number[]} order @param {number[]} found @param {Minutes} minutes
 * @param {Minutes[]} walk
 * @returns {number[]} */
function mended(order, found, minutes, walk) {
  let cost = waiting(order, found, minutes, walk);
  for (;;) {
    let better = null, least = cost;
    for (const other of moves(order)) {
      const then = waiting(other, found, minutes, walk);
      if (then < least - GAIN) [better, least] = [other, then];
    }
    if (!better) return order;
    [order, cost] = [better, least];
  }
}

/** Every order that one move makes: a run turned round; one to three places put elsewhere as they stand.
 * @param {number[]} order */
function moves(order) {
  const size = order.length, found = /** @type {number[][]} */ ([]);
  for (let first = 0; first < size; first += 1) {
    for (let last = first + 1; last < size; last += 1)
      found.push([...order.slice(0, first), ...order.slice(first, last + 1).reverse(), ...order.slice(last + 1)]);
  }
  for (const long of [1, 2, 3]) {
    for (let first = 0; first <= size - long; first += 1) {
      const run = order.slice(first, first + long), rest = [...order.slice(0, first), ...order.slice(first + long)];
      for (let at = 0; at <= rest.length; at += 1)
        if (at !== first) found.push([...rest.slice(0, at), ...run, ...rest.slice(at)]);
    }
  }
  return found;
}
