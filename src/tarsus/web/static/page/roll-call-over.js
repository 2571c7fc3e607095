// @ts-check
// A call that is over, as whoever comes late finds it: who closed it, what each group came to, who was seen, what is
// left to call. It can be opened again, or another be begun.

import { clockOf } from '../shared/facts.js';
import { onTheRoll } from '../shared/pack.js';
import { toReopen } from '../shared/round.js';
import { html } from './markup.js';
import { comes, countsDiffer, figures, groups, isCalled } from './roll-call-close.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Flock} Flock */

/** @param {RollCall} call */
export function view(call) {
  const { typed } = call.desk;
  if (typed)
    return html`<p class="say" role="status">${typed}</p><div class="deeds two">
    <a class="btn" href="#set">Back</a><a class="btn first" data-k="today" href="/"><span
    class="deed-n">Today</span><span>who is to be looked for</span></a></div>`;
  if (!call.over)
    return html`<p class="say">No roll call was closed here today.</p><p>
    <a class="btn" href="#tiles">To the roll</a></p>`;
  const { closedAt, closedBy, phase } = call.state, { kept } = call.kept.here();
  const by = closedBy === null ? '' : ` by ${call.personOf(closedBy)}`, at = closedAt ? ` ${clockOf(closedAt)}` : '';
  return html`<p class="say" role="status" data-k="over">
    ${phase === 'not done' ? 'Not done' : 'Closed'}${at}${by}. <span
    class="quiet">${phase === 'not done' ? call.state.notDone.get('') || '' : ''}</span></p>
${call.pack.flocks.filter((flock) => isCalled(call, flock)).map((flock) => came(call, flock))}
${groups(call, false)}
<p class="note" data-k="kept">
  ${kept ? `${kept} kept on this phone; sent when it finds a signal.` : 'All of it is with the server.'} A late sighting
  is welcome: it stands beside the closed round with its time.</p>
<div class="deeds again" data-k="deeds">
  ${
    toReopen(call.state, call.when).length > 0 && html`<button class="btn" type="button" data-k="reopen"
  data-act="reopen-round">Reopen roll call</button>`
  }<button class="btn" type="button" data-k="new"
  data-act="new-round">Start another</button><a class="btn first" data-k="today" href="/"><span
  class="deed-n">Today</span><span>who is to be looked for</span></a></div>`;
}

/** What one group came to. @param {RollCall} call @param {Flock} flock */
function came(call, flock) {
  const f = figures(call, flock),
    { amiss, say } = comes(call, flock),
    seen = onTheRoll(flock).filter(({ id }) => call.seen(id));
  return html`<section class="came" data-k="came-${flock.lookalike}"><h2 class="ruled">
    ${flock.lookalike} <span class="num">${f.seen} of ${f.roll} seen</span></h2>${countsDiffer(call, flock)}
    <p class="${amiss ? 'missing' : 'small'}">${say}</p>${
    f.doubtful + f.inferred > 0 && html`<p class="small">
    ${f.doubtful} doubtful, ${f.inferred} inferred.</p>`
  }<p class="small">
    Seen: ${seen.map(({ name }) => name).join(', ') || 'nobody'}.</p></section>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'reopen-round': async (call) => {
    await call.reopen();
    location.hash = 'tiles';
  },
  'new-round': (call) => {
    call.beginAnother();
    location.hash = 'count';
  },
};
