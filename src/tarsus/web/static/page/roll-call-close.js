// @ts-check
// Close: how each was named, who is unseen, who may be the missing one. Closing hides nothing.

import { clockOf } from '../shared/facts.js';
import { onTheRoll, usualPlace } from '../shared/pack.js';
import { sums, unobserved } from '../shared/round.js';
import { comesTo, whoNeedsOne } from '../shared/second-look.js';
import { adviceWords, carcaseWords, counted, percent, unseenWords } from '../shared/words.js';
import { missingAmong, moreWorrying } from '../shared/missing.js';
import { inferredBirds } from './roll-call-inferred.js';
import { html } from './markup.js';
import { adviceMark, glyph, sign, TRIANGLE } from './roll-call-pieces.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef {{bird: Bird, missing: number, search: boolean, needed: boolean, advice: ReturnType<typeof adviceWords>, inferred: number}} Lacking
 *   needed: a second look at it is */

/** The figures of a flock with the inferred ones set apart. @param {RollCall} call @param {Flock} flock */
export function figures(call, flock) {
  const plain = sums(call.state, flock), inferred = inferredBirds(call, flock);
  const unseen = plain.roll - plain.seen - inferred.size;
  return { ...plain, inferred: inferred.size, unseen };
}

/** What the round comes to: the birds that nobody saw, most worrying first, and the count against the names in one
 * sentence. @param {RollCall} call @param {Flock} flock @returns {{unseen: Lacking[], amiss: boolean, say: string}} */
export function comes(call, flock) {
  const left = unobserved(call.state, flock), inferred = inferredBirds(call, flock), { expected, counted: n, short: under } = sums(call.state, flock);
  const short = Math.max(0, under ?? 0), guess = (/** @type {number} */ id) => inferred.get(id)?.chance ?? 0;
  const { chances, miscount } = missingAmong(onTheRoll(flock), { seen: (id) => call.seen(id), inferred: guess }, short + (flock.carcases || 0));
  const doubts = left.map((bird) => ({
    bird, missing: chances.get(bird.id) ?? 0, inferred: guess(bird.id), search: adviceWords(bird, false).search,
  })).sort(moreWorrying);
  const needed = new Set(whoNeedsOne(doubts, short));
  const unseen = doubts.map((one) => ({ ...one, needed: needed.has(one), advice: adviceWords(one.bird, short > 0 && needed.has(one), true) }));
  return { unseen, ...comesTo({ expected, counted: n, unseen, miscount }) };
}

/** @param {RollCall} call */
export function view(call) {
  const { flock } = call, f = figures(call, flock), { unseen, amiss, say } = comes(call, flock);
  const left = unseen.filter((one) => !one.inferred);
  return html`<dl class="sums" data-k="sums">${line(sign('sight'), 'named by sight', f.bySight)}${line(sign('reading'), 'named by reading', f.byReading)}${line(sign('inferred'), 'inferred from part readings', f.inferred)}${line(TRIANGLE, 'unseen', f.unseen, 'un')}</dl>
${f.counted === null && html`<p class="note" data-k="uncounted">Not counted: <a href="#count">count the ${counted(flock.lookalike, 2)}</a>, or close without.</p>`}
${(flock.carcases || 0) > 0 && html`<p class="note" data-k="carcases">${carcaseWords(flock.carcases || 0)}</p>`}<p class="${amiss ? 'missing' : 'note'}" data-k="missing">${say}</p>
<ul class="lookfor" data-k="lookfor">${left.map((one) => lookFor(call, flock, one))}</ul>
<p class="small" data-k="rule">Closing hides nothing: <em>Search</em> stays on Today until the bird is seen. An inferred bird is not yet a seen one.</p>
<p class="small others" data-k="others">${call.pack.flocks.filter((one) => one !== flock).map((one) => otherFlock(call, one))}</p>
<div class="deeds two" data-k="deeds"><a class="btn" href="#second-look">Second look</a><button class="btn first" type="button" data-k="close" data-act="close-round"><span class="deed-n">Close the round</span><span>${closing(call)}</span></button></div>`;
}

/** @param {unknown} mark @param {string} words @param {number} n @param {string} [kind] */
function line(mark, words, n, kind = '') {
  return html`<div class="${kind}" data-k="${words}"><dt>${mark}${words}</dt><dd class="num">${n}</dd></div>`;
}

/** @param {RollCall} call @param {Flock} flock @param {Lacking} one */
function lookFor(call, flock, { bird, missing, advice }) {
  const where = usualPlace(bird), place = call.pack.exhibit.places.find(({ id }) => id === where)?.name;
  const last = bird.last_seen ? `last ${day(bird.last_seen.at)} ${clockOf(bird.last_seen.at)}` : '';
  const words = [unseenWords(bird), last, place && `mostly ${place}`].filter(Boolean).join('; ');
  return html`<li data-k="l${bird.id}">${glyph(bird, flock.form)}<div><h3 class="name">${bird.name}</h3><p class="small">${words}</p></div><p class="says-where">${adviceMark(advice)}${missing > 0 && html`<span class="small">missing: <span class="pct">${percent(missing)}</span></span>`}</p></li>`;
}

/** @param {string} at @returns {string} */
const day = (at) => new Date(at).toLocaleDateString('en-GB', { day: 'numeric', month: 'short' });

/** @param {RollCall} call @param {Flock} flock */
function otherFlock(call, flock) {
  const f = figures(call, flock), because = call.state.notDone.get(flock.lookalike), name = counted(flock.lookalike, 2);
  if (because !== undefined) return html`<span data-k="o${flock.lookalike}"><b>${name}</b> not done: ${because}</span>`;
  const count = f.counted === null ? 'not counted' : `count ${f.counted}`;
  return html`<span data-k="o${flock.lookalike}"><b>${name}</b> ${f.seen} of ${f.roll}, ${count}</span>`;
}

/** What the deed leaves open, over all flocks that were called. @param {RollCall} call @returns {string} */
export function closing(call) {
  const called = call.pack.flocks.filter((flock) => !call.state.notDone.has(flock.lookalike)).map((flock) => figures(call, flock));
  const unseen = called.reduce((n, f) => n + f.unseen, 0), short = called.reduce((n, f) => n + Math.max(0, f.short ?? 0), 0);
  return `${unseen} unseen${short ? `, ${short} missing` : ''}`;
}

/** The round after it was closed. @param {RollCall} call */
export function closedView(call) {
  const { closed } = call.desk, { kept } = call.kept.here();
  if (!closed) return html`<p class="say">No round was closed here.</p><p><a class="btn" href="#tiles">To the roll</a></p>`;
  return html`<p class="say" role="status">Closed ${clockOf(closed.at)}. <span class="quiet">${closed.words}</span></p>
<p class="note">${kept ? `${kept} kept on this phone; sent when it finds a signal.` : 'All of it is with the server.'} A late sighting is welcome: it stands beside the closed round with its time.</p>
<div class="deeds two"><button class="btn" type="button" data-act="new-round">Begin another</button><a class="btn first" data-k="today" href="/"><span class="deed-n">Today</span><span>who is to be looked for</span></a></div>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'close-round': async (call) => {
    const words = closing(call);
    const kept = await call.keep(...[...call.round.open].map((round) => /** @type {[string, object]} */ (['round_closed', { round }])));
    call.desk = { closed: { at: kept[kept.length - 1].at, words } };
    call.nextRound();
    location.hash = 'closed';
  },
  'new-round': (call) => { call.desk = {}; location.hash = 'count'; },
};
