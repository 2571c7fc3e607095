// @ts-check
// Not done, because: a round not made is no miss. No bird becomes unseen by it, and none counts as seen.

import { counted } from '../shared/words.js';
import { onTheRoll } from '../shared/pack.js';
import { drawn, html } from './markup.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

const REASONS = [
  'storm or heat',
  'birds shut in',
  'vet at work inside',
  'works in the exhibit',
  'nobody free',
  'other',
];

/** @param {RollCall} call */
export function view(call) {
  const n = onTheRoll(call.flock).length, reason = call.desk.because || '';
  return html`<p class="lead">${n} ${counted(call.lookalike, n)}, ${call.pack.exhibit.name}. Roll call not done, because
    </p>
<div class="what reasons" role="group" aria-label="Reason">
  ${
    REASONS.map((word) =>
      html`<button class="btn" type="button" data-k="${word}" data-act="because"
  data-value="${word}" aria-pressed="${word === reason}">${word}</button>`
    )
  }</div>
<label class="note-in"><span class="small">Note</span><textarea id="because-note" rows="2"
  maxlength="2000"></textarea></label>
<p class="note">A roll call not done is no miss: no bird becomes unseen by it, and none counts as seen.</p>
<div class="deeds two"><a class="btn" href="#count">Back</a><button class="btn first" type="button" data-k="keep"
  data-act="not-done-keep"${reason ? '' : drawn(' disabled')}><span
  class="deed-n">Save</span><span>not done</span></button></div>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  because: (call, button) => {
    call.desk.because = button.dataset.value;
  },
  'not-done-keep': async (call) => {
    const note = /** @type {HTMLTextAreaElement|null} */ (document.getElementById('because-note'))?.value.trim();
    const because = note ? `${call.desk.because}: ${note}` : call.desk.because;
    const whole = call.pack.flocks.length === 1;
    await call.keep(['round_not_done', {
      exhibit: call.pack.exhibit.id,
      because,
      ...(whole ? {} : { lookalike: call.lookalike }),
    }]);
    call.desk.because = '';
    if (!whole) {
      location.hash = 'close';
      return;
    }
    call.nextRound();
    location.hash = 'closed';
  },
};
