// @ts-check
// Close: how each was named, who is unseen, who may be the missing one. Closing hides nothing.

import { clockOf } from '../shared/facts.js';
import { onTheRoll, usualPlace } from '../shared/pack.js';
import { groupState, notCalled, sums, unobserved } from '../shared/round.js';
import { chanceOf } from '../shared/naming.js';
import { comesTo, differWords, notCalledWords, READ_ONCE, whoNeedsOne, withoutWords } from '../shared/second-look.js';
import { adviceWords, capital, carcaseWords, percent, plural, unseenWords } from '../shared/words.js';
import { missingAmong, moreWorrying } from '../shared/missing.js';
import { inferredBirds } from './roll-call-inferred.js';
import { html } from './markup.js';
import { adviceMark, glyph, HALF_DISC, sign, TRIANGLE } from './roll-call-pieces.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef
 * {{bird: Bird, missing: number, search: boolean, needed: boolean, advice: ReturnType<typeof adviceWords>,
 * inferred: number}} Lacking
 *   needed: a second look at it is */

/** A sighting that clears nobody never counts for more than this, as the watch has it. */
const DOUBT_CEILING = 0.99;

/** The figures of a flock with the inferred and the doubtful ones set apart. @param {RollCall} call
 * @param {Flock} flock */
export function figures(call, flock) {
  const plain = sums(call.state, flock), inferred = inferredBirds(call, flock);
  const doubtful = onTheRoll(flock).filter(({ id }) => call.doubtful(id) && !inferred.has(id)).length;
  return { ...plain, doubtful, inferred: inferred.size, unseen: plain.roll - plain.seen - inferred.size - doubtful };
}

/** What the round comes to: the birds that nobody saw, most worrying first, and the count against the names in one
 * sentence. @param {RollCall} call @param {Flock} flock @returns {{unseen: Lacking[], amiss: boolean, say: string}} */
export function comes(call, flock) {
  const left = unobserved(call.state, flock),
    inferred = inferredBirds(call, flock),
    { expected, counted: n, short: under } = sums(call.state, flock);
  const short = Math.max(0, under ?? 0),
    guess = (/** @type {number} */ id) => inferred.get(id)?.chance ?? doubt(call, id);
  const { chances, miscount } = missingAmong(
    onTheRoll(flock),
    { seen: (id) => call.seen(id), inferred: guess },
    short + (flock.carcases || 0),
  );
  const doubts = left.map((bird) => ({
    bird,
    missing: chances.get(bird.id) ?? 0,
    inferred: guess(bird.id),
    search: adviceWords(bird, false).search,
  })).sort(moreWorrying);
  const needed = new Set(whoNeedsOne(doubts, short));
  const unseen = doubts.map((one) => ({
    ...one,
    needed: needed.has(one),
    advice: call.readOnce(one.bird.id)
      ? { word: capital(READ_ONCE), search: true, look: true }
      : adviceWords(one.bird, short > 0 && needed.has(one), true),
  }));
  return { unseen, ...comesTo({ expected, counted: n, unseen, miscount }) };
}

/** The chance with which an unseen bird was named. @param {RollCall} call @param {number} bird @returns {number} */
function doubt(call, bird) {
  const told = call.state.seen.get(bird);
  return told && call.doubtful(bird) ? Math.min(chanceOf(told.sighting), DOUBT_CEILING) : 0;
}

/** @param {RollCall} call */
export function view(call) {
  const is = isCalled(call, call.flock);
  return html`${is ? called(call) : notCalledHere(call)}
${groups(call)}${is && lookedFor(call)}
${deeds(call)}`;
}

/** Why there is nothing to tell of the group. @param {RollCall} call */
export function notCalledHere({ state, lookalike }) {
  const because = state.notDone.get(lookalike);
  return html`<p class="note" data-k="uncounted">
    ${capital(plural(lookalike))}${
    because === undefined ? ': neither counted nor named in this round.' : ` not done: ${because}.`
  }
    </p>`;
}

/** How a called group stands. @param {RollCall} call */
function called(call) {
  const { flock } = call, f = figures(call, flock), { amiss, say } = comes(call, flock), dead = flock.carcases || 0;
  return html`<dl class="sums" data-k="sums">
    ${line(sign('sight'), 'named by sight', f.bySight)}${line(sign('reading'), 'named by reading', f.byReading)}${
    f.doubtful > 0 && line(HALF_DISC, 'doubtful: named, not surely', f.doubtful)
  }${line(sign('inferred'), 'inferred from part readings', f.inferred)}${line(TRIANGLE, 'unseen', f.unseen, 'un')}
    </dl>
${countsDiffer(call, flock)}${
    f.counted === null && html`<p class="note" data-k="uncounted">
  Not counted: <a href="#count">count the ${plural(flock.lookalike)}</a>, or close without.</p>`
  }
${dead > 0 && html`<p class="note" data-k="carcases">${carcaseWords(dead)}</p>`}
  <p class="${amiss ? 'missing' : 'note'}" data-k="missing">${say}</p>`;
}

/** Two counts that differ, side by side; nothing where they do not. @param {RollCall} call @param {Flock} flock */
export function countsDiffer(call, { lookalike }) {
  const counts = call.state.counts.get(lookalike);
  return counts?.differ && html`<p class="missing" data-k="differ">
    ${
    differWords(
      counts.told.map(({ by, counted: n, at }) => ({ who: call.personOf(by), counted: n || 0, at: clockOf(at) })),
      counts.counted,
    )
  }
    </p>`;
}

/** Its unseen birds, most worrying first. @param {RollCall} call */
function lookedFor(call) {
  const left = comes(call, call.flock).unseen.filter(({ bird }) => !inferredBirds(call, call.flock).has(bird.id));
  return html`<ul class="lookfor" data-k="lookfor">${left.map((one) => lookFor(call, call.flock, one))}</ul>
<p class="small" data-k="rule">Closing hides nothing: <em>Search</em> stays on Today until the bird is seen. An inferred
  or doubtful bird is not yet a seen one.</p>`;
}

/** The other groups of the exhibit, and those that were not called, with what may be done about them.
 * @param {RollCall} call
 * @param {boolean} [others]  the groups that were called too */
export function groups(call, others = true) {
  const open = notCalled(call.state, call.pack.flocks),
    rest = call.pack.flocks.filter((flock) => flock !== call.flock && !open.includes(flock));
  return html`${
    others && rest.length > 0 && html`<p class="small others" data-k="others">
    ${rest.map((flock) => otherFlock(call, flock))}</p>`
  }
${
    open.length > 0 && html`<div class="uncalled" data-k="uncalled"><p>
  <b>${notCalledWords(open.map(({ lookalike }) => lookalike))}</b> They stay to call, and nobody of them counts as
  missed.</p><ul>${
      open.map((flock) =>
        html`<li data-k="u${flock.lookalike}"><p>
  <b>${flock.lookalike}</b> <span class="small num">${onTheRoll(flock).length} on the roll</span></p>
  <button class="btn" type="button" data-act="call-group" data-lookalike="${flock.lookalike}">Call<span
  class="hide"> the ${plural(flock.lookalike)}</span></button><button class="btn" type="button" data-act="give-up-group"
  data-lookalike="${flock.lookalike}">Not done<span class="hide">: ${plural(flock.lookalike)}</span></button></li>`
      )
    }
  </ul></div>`
  }`;
}

/** What a closing comes to, and what it leaves out. @param {RollCall} call @returns {string} */
const closingSaid = (call) =>
  [closing(call), withoutWords(notCalled(call.state, call.pack.flocks).map(({ lookalike }) => lookalike))].filter(
    Boolean,
  ).join(', ');

/** The easy key is the harmless one: while birds are unseen, a second look; to close, once none is.
 * @param {RollCall} call */
function deeds(call) {
  const unseen = unseenBirds(call) > 0;
  const look = html`<a class="btn${unseen ? ' first' : ''}" href="#second-look" data-k="look">${
    unseen ?
      html`<span
    class="deed-n">Second look</span><span>at whom to look for, and where</span>` :
      'Second look'
  }</a>`;
  return html`<div class="deeds two" data-k="deeds">${unseen ? closeDeed(call) : look}${unseen ? look : closeDeed(call)}
    </div>`;
}

/** The deed, which says what it leaves out; never the dark key while birds are unseen. @param {RollCall} call */
export function closeDeed(call) {
  const nobody = !call.pack.flocks.some((flock) => isCalled(call, flock));
  const says = nobody ? 'nobody was called yet' : closingSaid(call);
  return html`<button class="btn${unseenBirds(call) ? '' : ' first'}" type="button" data-k="close"
    data-act="close-round"${nobody ? html` disabled` : ''}><span
    class="deed-n">Close roll call</span><span>${says}</span></button>`;
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
  return html`<li data-k="l${bird.id}">${glyph(bird, flock.form)}<div><h2 class="name">${bird.name}</h2>
    <p class="small">${words}</p></div><p class="says-where">
    ${adviceMark(advice)}${
    missing > 0 && html`<span class="small">missing: <span
    class="pct">${percent(missing)}</span></span>`
  }</p></li>`;
}

/** Whether a group was called: somebody counted it, or named one of it surely. @param {RollCall} call
 * @param {Flock} flock */
export const isCalled = ({ state }, { lookalike }) =>
  ['begun', 'called'].includes(groupState({ groups: state.groupStates }, lookalike).state);

/** @param {string} at @returns {string} */
const day = (at) => new Date(at).toLocaleDateString('en-GB', { day: 'numeric', month: 'short' });

/** @param {RollCall} call @param {Flock} flock */
function otherFlock(call, flock) {
  const f = figures(call, flock), because = call.state.notDone.get(flock.lookalike), name = plural(flock.lookalike);
  if (because !== undefined) return html`<span data-k="o${flock.lookalike}"><b>${name}</b> not done: ${because}</span>`;
  const count = f.counted === null ? 'not counted' : `count ${f.counted}`;
  return html`<span data-k="o${flock.lookalike}"><b>${name}</b> ${f.seen} of ${f.roll}, ${count}</span>`;
}

/** The figures of the flocks that were called. @param {RollCall} call */
const calledFigures = (call) =>
  call.pack.flocks.filter((flock) => isCalled(call, flock)).map((flock) => figures(call, flock));

/** @param {RollCall} call */
const unseenBirds = (call) => calledFigures(call).reduce((n, f) => n + f.unseen, 0);

/** What the deed leaves open, over all flocks that were called. @param {RollCall} call @returns {string} */
export function closing(call) {
  const called = calledFigures(call),
    unseen = unseenBirds(call),
    short = called.reduce((n, f) => n + Math.max(0, f.short ?? 0), 0);
  return `${unseen} unseen${short ? `, ${short} missing` : ''}`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'call-group': (call, button) => toGroup(call, button, 'count'),
  'give-up-group': (call, button) => toGroup(call, button, 'not-done'),
  'close-round': async (call) => {
    await call.keep(
      ...[...call.round.open].map((round) => /** @type {[string, object]} */ (['round_closed', { round }])),
    );
    call.nextRound();
    location.hash = 'closed';
  },
};

/** Turn to a group that was not called; a call that is over is opened again for it. @param {RollCall} call
 * @param {HTMLElement} button @param {string} state */
async function toGroup(call, button, state) {
  if (call.over) await call.reopen();
  call.turnTo(button.dataset.lookalike || '');
  location.hash = state;
}
