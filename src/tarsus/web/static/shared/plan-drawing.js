// @ts-check
// The plan of an exhibit as one `<svg>`: what is drawn or photographed, pins numbered in the order to look, a circle
// the larger the likelier, the walk dotted. Black on paper says all of it: no colour alone.

import { escaped } from './band-parts.js';
import { birdsTold } from './search-walk.js';
import { percent } from './words.js';

/** @typedef {import('./search-walk.js').Plan} Plan */
/** @typedef {import('./search-walk.js').Step} Step */

const WIDE = 360, LINE = 15.5;
const PATCHES = new Set(['water', 'bank', 'green', 'house']);

/** @param {number} value */
const fixed = (value) => String(Math.round(value * 10) / 10);

/**
 * @param {Plan} plan
 * @param {object} told
 * @param {Step[]} [told.steps]  the walk; a pin that is not on it is drawn hollow
 * @param {Map<number, string>} told.names  of the places
 * @param {Map<number, string>} [told.birds]  names of the birds that are looked for
 * @param {string} [told.exhibit]
 * @param {number|null} [told.held]  the place whose pin is being moved
 * @returns {string} one `<svg>`
 */
export function planDrawing(plan, { steps = [], names, birds = new Map(), exhibit = 'the exhibit', held = null }) {
  const tall = WIDE * plan.tall, on = new Map(steps.map((step, n) => [step.place, { step, n: n + 1 }]));
  const at = (/** @type {{x: number, y: number}} */ { x, y }) => [x * WIDE, y * tall];
  const ground = plan.picture
    ? `<image href="data:image/jpeg;base64,${escaped(plan.picture)}" width="${WIDE}" height="${fixed(tall)}"/>`
    : `<rect class="frame${plan.shapes.length ? ' is-thin' : ''}" x="1" y="1" width="${WIDE - 2}" height="${
      fixed(tall - 2)
    }"/>`;
  const walked = steps.map(at), start = plan.entrance ? at({ x: plan.entrance[0], y: plan.entrance[1] }) : null;
  const line = start ? [start, ...walked] : walked;
  const way = steps.length && line.length > 1
    ? `<path class="walk-line" d="M${line.map((p) => p.map(fixed).join(' ')).join('L')}"/>`
    : '';
  const gate = start
    ? `<path class="gate" d="M${fixed(start[0] - 7)} ${fixed(start[1] + 6)}l7 -12 7 12z"/><text class="said what" x="${
      fixed(start[0] > WIDE * 0.7 ? start[0] - 10 : start[0] + 10)
    }" y="${fixed(start[1] + 5)}" text-anchor="${start[0] > WIDE * 0.7 ? 'end' : 'start'}">entrance</text>`
    : '';
  const circles = steps.map((step) => {
    const [x, y] = at(step);
    return `<circle class="chance" cx="${fixed(x)}" cy="${fixed(y)}" r="${
      fixed(Math.max(15, 40 * Math.sqrt(step.expected)))
    }"/>`;
  });
  const pins = plan.pins.map((pin) => onePin(pin.place, at(pin), on.get(pin.place)?.n, held));
  const words = labels(
    plan.pins.map((pin) => ({
      at: at(pin),
      lines: linesAt(names.get(pin.place) || '', on.get(pin.place)?.step, birds, steps.length > 0),
    })),
    tall,
  );
  return `<svg class="xplan" viewBox="0 0 ${WIDE} ${fixed(tall)}" role="img" aria-label="${
    escaped(inWords(exhibit, plan, steps, names, birds))
  }">${ground}${plan.shapes.map((shape) => oneShape(shape, tall)).join('')}${circles.join('')}${way}${gate}${
    pins.join('')
  }${words.join('')}</svg>`;
}

/** @param {{what: string, points: string}} shape @param {number} tall */
function oneShape({ what, points }, tall) {
  const placed = points.split(' ').map((one) => {
    const [x, y] = one.split(',').map(Number);
    return `${fixed(x * WIDE)},${fixed(y * tall)}`;
  }).join(' ');
  return `<${PATCHES.has(what) ? 'polygon' : 'polyline'} class="s-${escaped(what)}" points="${placed}"/>`;
}

/** @param {number} place @param {number[]} at @param {number|undefined} n @param {number|null} held */
function onePin(place, [x, y], n, held) {
  const held_ = place === held ? `<circle class="held" cx="${fixed(x)}" cy="${fixed(y)}" r="17"/>` : '';
  if (!n) return `${held_}<circle class="none" cx="${fixed(x)}" cy="${fixed(y)}" r="8"/>`;
  return `${held_}<circle class="pin" cx="${fixed(x)}" cy="${fixed(y)}" r="12"/><text class="pin-n" x="${
    fixed(x)
  }" y="${fixed(y + 5)}">${n}</text>`;
}

/** The lines that stand at a pin: its place, and on the walk who is likely there. @param {string} name
 * @param {Step|undefined} step
 * @param {Map<number, string>} birds @param {boolean} searching @returns {{text: string, kind: string}[]} */
function linesAt(name, step, birds, searching) {
  if (!step) return [{ text: shortly(name), kind: searching ? 'what' : 'place' }];
  const who = step.likely.slice(0, 2).map(([bird, share]) => `${shortly(birds.get(bird) || '', 12)} ${percent(share)}`)
    .join(', ');
  const place = `${shortly(name)}${birds.size > 1 ? ` · ${birdsTold(step.expected)}` : ''}`;
  return [{ text: place, kind: 'place' }, { text: `${who}${step.likely.length > 2 ? ', …' : ''}`, kind: '' }];
}

/** @typedef {{x: number, y: number, wide: number, high: number}} Box */

/** How much of one box another one covers. @param {Box} a @param {Box} b */
const covered = (a, b) =>
  Math.max(0, Math.min(a.x + a.wide, b.x + b.wide) - Math.max(a.x, b.x)) *
  Math.max(0, Math.min(a.y + a.high, b.y + b.high) - Math.max(a.y, b.y));

/**
 * Words of each pin on the side of it that has most room: they cover no pin and no other words where that can be.
 * @param {{at: number[], lines: {text: string, kind: string}[]}[]} pins @param {number} tall
 */
function labels(pins, tall) {
  /** @type {Box[]} */
  const taken = pins.map(({ at: [x, y] }) => ({ x: x - 13, y: y - 13, wide: 26, high: 26 }));
  return pins.map(({ at: [x, y], lines }) => {
    const wide = Math.max(...lines.map(({ text, kind }) => text.length * (kind === 'place' ? 8.2 : 7.6))),
      high = lines.length * LINE;
    const spots = [
      [x + 16, y - high / 2],
      [x - 16 - wide, y - high / 2],
      [x - wide / 2, y + 15],
      [x - wide / 2, y - 15 - high],
      [x + 10, y + 13],
      [x - 10 - wide, y + 13],
      [x + 10, y - 13 - high],
      [x - 10 - wide, y - 13 - high],
    ]
      .map(([left, top]) => ({
        x: Math.min(Math.max(left, 3), WIDE - 3 - wide),
        y: Math.min(Math.max(top, 3), tall - 3 - high),
        wide,
        high,
      }));
    const cost = (/** @type {Box} */ box) => taken.reduce((sum, other) => sum + covered(box, other), 0);
    const best = spots.reduce((least, spot) => (cost(spot) < cost(least) - 1 ? spot : least));
    taken.push(best);
    return lines.map(({ text, kind }, n) =>
      `<text class="said ${kind}" x="${fixed(best.x)}" y="${fixed(best.y + LINE * n + 12)}">${escaped(text)}</text>`
    ).join('');
  });
}

/** @param {string} text @param {number} [most] */
const shortly = (text, most = 20) => (text.length > most ? `${text.slice(0, most - 1)}…` : text);

/** The drawing in words, for who does not see it. @param {string} exhibit @param {Plan} plan @param {Step[]} steps
 * @param {Map<number, string>} names @param {Map<number, string>} birds */
function inWords(exhibit, plan, steps, names, birds) {
  if (!steps.length)
    return `Plan of ${exhibit}: ${plan.pins.map(({ place }) => names.get(place)).join(', ') || 'no pin yet'}`;
  const told = steps.map((step, n) =>
    `${n + 1} ${names.get(step.place)}, ${
      step.likely.map(([bird, share]) => `${birds.get(bird)} ${percent(share)}`).join(', ')
    }`
  );
  return `Plan of ${exhibit}, in the order to look: ${told.join('; ')}`;
}
