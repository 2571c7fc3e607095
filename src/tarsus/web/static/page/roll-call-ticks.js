// @ts-check
// The paper sheet's ticks typed in afterwards, for a past round: when it was, the count, then a tap or a few letters a
// bird.

import { onTheRoll } from '../shared/pack.js';
import { matching } from '../shared/matching.js';
import { clockOf, localIso } from '../shared/facts.js';
import { html } from './markup.js';
import { TICK } from './roll-call-pieces.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

/** @param {RollCall} call */
export function view(call) {
  return call.past ? ticking(call) : beginning(call);
}

/** @param {RollCall} call */
function beginning(call) {
  const before = new Date(Date.now() - 3600000), shown = localIso(before).slice(0, 16);
  return html`<p class="lead">Ticks from the paper sheet, ${call.pack.exhibit.name}. When was that round?</p>
<label class="note-in"><span class="small">Day and hour</span><input class="entry-in" id="ticks-at"
  type="datetime-local" value="${shown}" max="${localIso(new Date()).slice(0, 16)}"></label>
<p class="note">It becomes a round of its own, told by ${call.personOf(call.who)}. If somebody else ticked the sheet,
  change who is looking first, under Set.</p>
<div class="deeds two"><a class="btn" href="#set">Back</a><button class="btn first" type="button" data-k="begin"
  data-act="ticks-begin"><span class="deed-n">Begin</span><span>typing in</span></button></div>`;
}

/** @param {RollCall} call */
function ticking(call) {
  const birds = onTheRoll(call.flock), n = birds.filter((bird) => call.seen(bird.id)).length;
  return html`<label class="note-in" data-k="fast"><span class="small">First letters, then Enter</span><input
    class="entry-in" id="ticks-name" type="text" autocomplete="off" autocapitalize="none" spellcheck="false"
    enterkeyhint="done"></label>
<p class="say" aria-live="polite" data-k="told">
  ${call.desk.ticked || html`<span class="quiet">or tap the names, in the sheet's order</span>`}</p>
<div class="sheet-ticks" data-k="ticks">
  ${
    birds.map((bird) =>
      html`<button type="button" class="tickname${call.seen(bird.id) ? ' is-seen' : ''}"
  data-k="t${bird.id}" data-act="tick" data-bird="${bird.id}"
  aria-pressed="${call.seen(bird.id)}">${bird.name}${call.seen(bird.id) && TICK}</button>`
    )
  }</div>
<label class="note-in count-in" data-k="count"><span class="small">Count on the sheet</span><input class="entry-in num"
  id="ticks-count" type="number" inputmode="numeric" min="0" max="9999"
  value="${call.state.counts.get(call.lookalike)?.counted ?? ''}"></label>
<div class="deeds two" data-k="deeds">
  <button class="btn" type="button" data-act="ticks-leave">Leave open</button><button class="btn first" type="button"
  data-k="close" data-act="ticks-close"><span
  class="deed-n">Close that round</span><span>${n} of ${birds.length} ticked</span></button></div>`;
}

/** @param {RollCall} call @param {number} bird */
async function tick(call, bird) {
  const told = call.state.seen.get(bird), seen = call.seen(bird) ? told : null; // a doubtful name stays, and is ticked
  if (seen) await call.keep(['withdrawn', { corrects: seen.sighting.id, because: 'tick taken back' }]);
  else await call.see({ bird, how: 'by sight', place: null });
  call.desk.ticked = html`${call.nameOf(bird)}${seen ? html` <span class="quiet">taken back</span>` : ''}`;
  sound(seen ? 'undone' : 'seen');
}

/** @param {RollCall} call */
async function keepCount(call) {
  const typed = /** @type {HTMLInputElement|null} */ (document.getElementById('ticks-count'))?.value || '';
  const counted = Number(typed);
  if (!/^\d{1,4}$/.test(typed) || counted === call.state.counts.get(call.lookalike)?.counted) return;
  await call.keep(['count', { lookalike: call.lookalike, counted }]);
}

/** What was typed and ended with Enter. @param {RollCall} call @param {HTMLInputElement} input */
export async function typed(call, input) {
  const found = matching(onTheRoll(call.flock).filter((bird) => !call.seen(bird.id)), input.value);
  if (found.length === 1) {
    await tick(call, found[0].id);
    input.value = '';
  } else {
    call.desk.ticked = found.length
      ? html`<span class="quiet">${found.slice(0, 5).map((bird) => bird.name).join(', ')}: a letter more</span>`
      : html`<span class="quiet">Nobody left whose name begins so.</span>`;
  }
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'ticks-begin': (call) => {
    const typedAt = /** @type {HTMLInputElement|null} */ (document.getElementById('ticks-at'))?.value || '';
    const at = new Date(typedAt);
    if (Number.isNaN(at.getTime()) || at.getTime() > Date.now()) {
      call.trouble = 'Day and hour: write when the round was, not later than now.';
      return;
    }
    call.beginPast(at);
    location.hash = 'ticks';
  },
  tick: (call, button) => tick(call, Number(button.dataset.bird)),
  'ticks-leave': async (call) => {
    await keepCount(call);
    call.endPast();
    location.hash = 'set';
  },
  'ticks-close': async (call) => {
    await keepCount(call);
    const n = onTheRoll(call.flock).filter((bird) => call.seen(bird.id)).length;
    const kept = await call.keep(['round_closed', {}]);
    call.endPast();
    call.desk = { typed: `Closed ${clockOf(kept[kept.length - 1].at)}: ${n} ticked from the sheet.` };
    location.hash = 'closed';
  },
};
