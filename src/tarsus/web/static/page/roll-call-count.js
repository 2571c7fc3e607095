// @ts-check
// The count first: how many are there, before anybody is named.

import { sums } from '../shared/round.js';
import { carcaseWords, countWords } from '../shared/words.js';
import { html } from './markup.js';
import { countsDiffer } from './roll-call-close.js';
import { lightRow } from './light-row.js';
import { TRIANGLE } from './roll-call-pieces.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

const MOST = 9999;

/** The number on the screen: as typed, or as last kept. @param {RollCall} call @returns {number|null} */
function shown(call) {
  const typed = call.desk[`count ${call.lookalike}`];
  const counts = call.state.counts.get(call.lookalike);
  return typed !== undefined ? typed : counts && !counts.differ ? counts.counted : null; // two that differ: count again
}

/** @param {RollCall} call @param {number|null} n */
function type(call, n) {
  call.desk[`count ${call.lookalike}`] = n;
}

/** How many a count should find. @param {RollCall} call */
const expected = (call) => sums(call.state, call.flock).expected;

/** @param {RollCall} call */
export function view(call) {
  const roll = expected(call),
    n = shown(call),
    { amiss, say, more } = countWords(roll, n),
    dead = call.flock.carcases || 0;
  return html`<div class="counted"><p class="lead">How many are there?</p>
<div class="stepper"><button class="btn" type="button" data-act="count-step" data-value="-1"
  aria-label="One less">−</button><output class="n num">${n === null ? '–' : n}</output><button class="btn"
  type="button" data-act="count-step" data-value="1" aria-label="One more">+</button></div>
${countsDiffer(call, call.flock)}<p class="verdict-line" aria-live="polite">
  ${amiss && TRIANGLE}${say && html`<b>${say}</b>`} ${more}${
    dead > 0 && html`<span
  class="small">${carcaseWords(dead)}</span>`
  }${
    amiss && n !== null && n < roll && html`<span
  class="small">Count again, or go on: the names will say who.</span>`
  }</p></div>
<div class="lit" data-k="lit"><span class="small">Light</span>${lightRow(call.light)}</div>
<div class="numpad">${
    [1, 2, 3, 4, 5, 6, 7, 8, 9].map((d) =>
      html`<button class="btn" type="button" data-k="d${d}"
  data-act="count-digit" data-value="${d}">${d}</button>`
    )
  }<button class="btn word" type="button" data-k="clear"
  data-act="count-clear">clear</button><button class="btn" type="button" data-k="d0" data-act="count-digit"
  data-value="0">0</button><button class="btn word" type="button" data-k="all"
  data-act="count-all">all ${roll}</button></div>
<div class="deeds two"><a class="btn" href="#not-done">Not done, because</a><button class="btn first" type="button"
  data-k="keep" data-act="count-keep"${n === null ? html` disabled` : ''}><span
  class="deed-n">Save the count</span><span>then the names</span></button></div>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'count-step': (call, button) =>
    type(call, Math.max(0, Math.min(MOST, (shown(call) ?? 0) + Number(button.dataset.value)))),
  'count-digit': (call, button) => {
    const begun = call.desk[`count ${call.lookalike}`];
    const next = (begun || 0) * 10 + Number(button.dataset.value);
    type(call, next > MOST ? Number(button.dataset.value) : next);
  },
  'count-clear': (call) => type(call, null),
  'count-all': (call) => type(call, expected(call)),
  'count-keep': async (call) => {
    const counted = shown(call);
    if (counted === null) return;
    await call.keep(['count', { lookalike: call.lookalike, counted }]);
    delete call.desk[`count ${call.lookalike}`];
    location.hash = 'tiles';
  },
};
