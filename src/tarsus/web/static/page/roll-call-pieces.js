// @ts-check
// Pieces that several states of the roll call draw alike: a bird's drawing, its tile, signs, rows of choices.

import { READ_ONCE } from '../shared/second-look.js';
import { drawn, html } from './markup.js';

/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef {import('../shared/pack.js').Form} Form */
/** @typedef {import('./markup.js').Markup} Markup */

const PATHS = {
  undo: 'M8 5L3 10l5 5M3 10h11a6 6 0 0 1 0 12h-3',
  worry: 'M12 3L22 20H2zM12 10v5M12 17v1',
  sight: 'M2 12C6 5 18 5 22 12C18 19 6 19 2 12zM12 9.2a2.8 2.8 0 1 0 .01 0',
  reading: 'M8 2v20M16 2v20M4.5 6h7v5h-7zM12.5 9h7v5h-7z',
  rail: 'M2 17h20M5 17v-6M9.7 17v-6M14.3 17v-6M19 17v-6',
  close: 'M5 4h14v16H5zM9 12l2.4 2.6L15.4 9',
  set: 'M4 7h9M17 7h3M4 17h3M11 17h9M15 4.5v5M9 14.5v5',
  inferred: 'M8 2.5h8v19H8z',
  'walks left': 'M3 9c4 0 4 4 9 4h8l-3-3M9 13l-2 8M13 13l3 8M3 9l3-2',
  'walks right': 'M21 9c-4 0-4 4-9 4H4l3-3M15 13l2 8M11 13l-3 8M21 9l-3-2',
  'faces away': 'M6 3c0 7 3 9 6 9s6-2 6-9M12 3v9M9 12v9M15 12v9',
  'faces me': 'M6 3c0 7 3 9 6 9s6-2 6-9M9 12v9M15 12v9M7 21l2-2 2 2M13 21l2-2 2 2',
};

/** @param {keyof typeof PATHS} name @returns {Markup} */
export function sign(name) {
  const line = 'fill="none" stroke="currentColor" stroke-width="2.2" stroke-linecap="round" stroke-linejoin="round"';
  return drawn(`<svg viewBox="0 0 24 24" ${line} aria-hidden="true"><path d="${PATHS[name]}"/></svg>`);
}

export const TRIANGLE = drawn(
  '<svg viewBox="0 0 16 16" aria-hidden="true"><path d="M8 1.5L15 14H1z" fill="currentColor"/></svg>',
);
export const HALF_DISC = html`<svg viewBox="0 0 16 16" aria-hidden="true"><circle cx="8" cy="8" r="6" fill="none"
  stroke="currentColor" stroke-width="2"/><path d="M8 2a6 6 0 0 1 0 12z" fill="currentColor"/></svg>`;
export const TICK = html`<svg class="tick" viewBox="0 0 16 16" aria-hidden="true"><path d="M2 8.5l4 4L14 3.5"
  fill="none" stroke="currentColor" stroke-width="2.6"/></svg>`;

/** A bird's bands in the space of a tile. @param {Bird} bird @param {Form} form @param {{facing?: string}} [how]
 * @returns {Markup} */
export function glyph(bird, form, { facing = '' } = {}) {
  return html`<band-drawing form="${form}" facing="${facing === 'me' ? 'me' : 'away'}"
    marks="${JSON.stringify(bird.marks)}" flags="${JSON.stringify(bird.flags || {})}"
    pins="${JSON.stringify(bird.natural_marks.map(({ x, y }) => ({ x, y })))}"></band-drawing>`;
}

/** What was read, in the space of a tile. @param {import('../shared/pack.js').Reading} reading @param {Form} form
 * @returns {Markup} */
export function readGlyph(reading, form) {
  return html`<band-drawing form="${form}" reading marks="${JSON.stringify(reading)}"></band-drawing>`;
}

/** One bird's tile. @param {object} tile @param {Bird} tile.bird @param {Form} tile.form @param {string} tile.act
 * @param {boolean} tile.seen @param {boolean} [tile.doubtful]  named, and not surely
 * @param {boolean} [tile.once]  searched for
 * and read once @param {string} [tile.chance]
 * @param {string} [tile.facing] @returns {Markup} */
export function tile({ bird, form, act, seen, doubtful = false, once = false, chance = '', facing = '' }) {
  return html`<button type="button" class="tile${seen ? ' is-seen' : ''}" data-k="b${bird.id}" data-act="${act}"
    data-bird="${bird.id}">${glyph(bird, form, { facing })}<span
    class="tile-n">${bird.name}</span>${
    chance && html`<span
    class="pct">${chance}</span>`
  }${!seen && !once && searched(bird)}${asked(bird)}${
    seen && html`${TICK}<span
    class="hide">, seen</span>`
  }${once && html`<span class="once">${READ_ONCE}</span>`}${
    !seen && doubtful && html`<span
    class="doubt">${HALF_DISC}</span><span class="hide">, doubtful</span>`
  }</button>`;
}

/** That a bird is on *search*, on its tile. @param {Bird} bird @returns {Markup|string} */
export const searched = (bird) =>
  bird.advice === 'search' ? html`<span class="tile-search">${TRIANGLE}Search</span>` : '';

/** What the vet wants done about a bird, on its tile; without that, what the vet's case is about.
 * @param {Bird} bird @returns {Markup|string} */
export function asked(bird) {
  const open = bird.cases || [], [first, ...more] = open.filter((one) => one.do);
  if (!first && open.length) return html`<span class="tile-do">Vet: ${open[0].about}</span>`;
  return first ?
    html`<span class="tile-do"><span
    class="hide">The vet: </span>${first.do}${more.length > 0 && html` <b>and ${more.length} more</b>`}</span>` :
    '';
}

/** A row of which one is chosen. @param {object} row @param {string} row.label @param {string} row.act
 * @param {string} [row.kind]
 * @param {{value: string, words: unknown}[]} row.of @param {string|null} row.chosen @returns {Markup} */
export function choices({ label, act, kind = '', of, chosen }) {
  return html`<div class="seg ${kind}" role="group" aria-label="${label}">
    ${
    of.map(({ value, words }) =>
      html`<button type="button" data-k="${act}-${value}" data-act="${act}"
    data-value="${value}" aria-pressed="${value === chosen}">${words}</button>`
    )
  }</div>`;
}

/** The advice about a bird, always with a word and a shape; nothing where there is none to give.
 * @param {{word: string, search: boolean, look: boolean}} advice @returns {Markup|string} */
export function adviceMark({ word, search, look }) {
  return word && html`<span class="advice${search ? ' search' : ''}"
    >${search ? TRIANGLE : look ? HALF_DISC : ''}${word}</span>`;
}
