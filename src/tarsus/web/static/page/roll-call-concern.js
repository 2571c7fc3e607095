// @ts-check
// A concern, a step of its own after *seen*: what was seen, which side, a note, the vet. Also about one of several.

import { clockOf } from '../shared/facts.js';
import { birdOf } from '../shared/pack.js';
import { inWords, together } from '../shared/words.js';
import { drawn, html } from './markup.js';
import { choices, glyph, sign } from './roll-call-pieces.js';
import { keptAnswer } from './roll-call-model.js';
import { answerTo } from './roll-call-read.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Fact} Fact */
/** @typedef
 * {{birds: number[], sighting: string|null, part: [string, Partial<Fact>]|null, from: string, seen: string[],
 * side: string|null, vet: boolean}} Desk */

const SIDES = [{ value: 'left', words: 'its left' }, { value: 'right', words: 'its right' }, {
  value: '',
  words: 'side not seen',
}];
const SHOWN = 4;

/** @param {RollCall} call @param {Partial<Desk>} about */
function begin(call, about) {
  call.desk.concern = {
    birds: [],
    sighting: null,
    part: null,
    from: location.hash || '#tiles',
    seen: [],
    side: null,
    vet: false,
    ...about,
  };
  location.hash = 'concern';
}

/** @param {RollCall} call */
export function view(call) {
  /** @type {Desk|undefined} */
  const desk = call.desk.concern;
  if (!desk)
    return html`<p class="say">Nobody to be concerned about yet.</p><p class="note">
    First the sighting, then the concern: <a href="#tiles">By sight</a>.</p>`;
  return html`${about(call, desk)}<h2 class="ruled">What was seen</h2>
<div class="what" role="group" aria-label="What was seen">
  ${
    call.pack.concerns.map((word) =>
      html`<button class="btn" type="button" data-k="${word}" data-act="concern-seen"
  data-value="${word}" aria-pressed="${desk.seen.includes(word)}">${word}</button>`
    )
  }</div>
${choices({ label: 'Which side', act: 'concern-side', kind: 'which', of: SIDES, chosen: desk.side })}
<label class="note-in"><span class="small">Note</span><textarea id="concern-note" rows="2"
  maxlength="2000"></textarea></label>
<button class="btn vet" type="button" data-act="concern-vet"
  aria-pressed="${desk.vet}">${sign('worry')}<span>Tell the vet<small>opens a case that only the vet
  closes</small></span></button>
<div class="deeds two"><button class="btn" type="button" data-act="concern-none">Cancel</button><button
  class="btn first" type="button" data-k="keep"
  data-act="concern-keep"${desk.seen.length ? '' : drawn(' disabled')}><span
  class="deed-n">Save</span><span>the concern</span></button></div>`;
}

/** @param {RollCall} call @param {Desk} desk */
function about(call, desk) {
  const birds = desk.birds.map((id) => birdOf(call.pack, id)).filter((found) => found !== null);
  const fact = call.state.sightings.find((one) => one.id === desk.sighting);
  const says = birds.length > 1
    ? html`<b>One of ${inWords(birds.length)}.</b> All are looked at until the right one is known.`
    : html`<b>${fact ? `seen ${clockOf(fact.at)}, ${fact.how || 'part reading'}` : ''}</b>The sighting is kept whatever
      you write here.`;
  return html`<div class="who${birds.length > 1 ? ' several' : ''}" data-k="who">
    ${
    birds.slice(0, SHOWN).map(({ bird, flock }) =>
      html`<div class="who-b" data-k="w${bird.id}">
    ${glyph(bird, flock.form)}<b>${bird.name}</b></div>`
    )
  }${
    birds.length > SHOWN && html`
    <p class="who-more" data-k="more">and ${birds.length - SHOWN} more</p>`
  }<p>${says}</p></div>`;
}

/** @returns {string} */
const note = () =>
  /** @type {HTMLTextAreaElement|null} */ (document.getElementById('concern-note'))?.value.trim() || '';

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  concern: (call) => {
    const fact = call.lastSighting;
    if (!fact) return;
    const open = fact.candidates || [];
    const birds = typeof fact.bird === 'number' ? [fact.bird] : open.slice(0, together(open)).map(({ bird }) => bird);
    begin(call, { birds, sighting: fact.id });
  },
  'concern-one-of': (call) => {
    const answer = answerTo(call);
    const birds = answer.candidates.slice(0, Math.max(2, Math.min(4, answer.verdict.several))).map(({ bird }) =>
      bird.id
    );
    begin(call, { birds, part: call.sighting({ reading: call.reading, ...keptAnswer(answer) }) });
  },
  'concern-seen': (call, button) => {
    const { seen } = call.desk.concern, word = button.dataset.value;
    call.desk.concern.seen = seen.includes(word)
      ? seen.filter((/** @type {string} */ one) => one !== word)
      : [...seen, word];
  },
  'concern-side': (call, button) => {
    call.desk.concern.side = button.dataset.value;
  },
  'concern-vet': (call) => {
    call.desk.concern.vet = !call.desk.concern.vet;
  },
  'concern-none': (call) => leave(call),
  'concern-keep': async (call) => {
    /** @type {Desk} */
    const desk = call.desk.concern;
    if (!desk.seen.length) return;
    const id = desk.part ? call.newId() : desk.sighting;
    /** @type {[string, Partial<Fact>]} */
    const concern = ['concern', {
      sighting: id,
      birds: desk.birds,
      seen: desk.seen,
      side: desk.side || null,
      note: note(),
      tell_vet: desk.vet,
    }];
    if (desk.part && id) await call.keep([desk.part[0], { ...desk.part[1], id }], concern);
    else await call.keep(concern);
    if (desk.part) {
      call.last = id;
      call.forget();
    }
    leave(call);
    sound('seen');
  },
};

/** @param {RollCall} call */
function leave(call) {
  const { from } = call.desk.concern;
  call.desk.concern = null;
  location.hash = from;
}
