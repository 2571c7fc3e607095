// @ts-check
// What the server could not take, with its reason: mended here and said again. Nothing is dropped.

import { localIso, momentOf } from '../shared/facts.js';
import { html } from './markup.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/outbox.js').Entry} Entry */
/** @typedef {import('../shared/pack.js').Fact} Fact */

const KINDS = /** @type {Record<string, string>} */ ({
  sighting: 'Sighting',
  count: 'Count',
  group: 'Group',
  concern: 'Concern',
  withdrawn: 'Taken back',
  round_started: 'Roll call started',
  round_closed: 'Roll call closed',
  round_reopened: 'Roll call reopened',
  round_light: 'Light',
  round_not_done: 'Not done',
  handling: 'In hand',
});

/** @param {RollCall} call */
export function view(call) {
  const here = call.kept.list().sort((a, b) => a.order - b.order);
  const refused = here.filter((entry) => entry.fate === 'refused'),
    aside = here.filter((entry) => entry.fate === 'kept' && entry.aside);
  if (!refused.length && !aside.length)
    return html`<p class="say">Nothing to mend.</p><p>
    <a class="btn" href="#set">Back</a></p>`;
  return html`${
    refused.length > 0 && html`<p class="note">
    The server could not take these as they are. Each stays here until it is mended and heard.</p>
<ul class="mends" data-k="mends">${refused.map((entry) => one(call, entry))}</ul>`
  }${
    aside.length > 0 && html`
  <p class="note">Set aside: the server fails whenever it hears one of these. They stay on this phone and are tried
  again by themselves; the others are sent. Tell the administrator.</p>
<ul class="mends" data-k="asides">${
      aside.map(({ fact }) =>
        html`<li class="mend" data-k="a${fact.id}">
  ${head(call, fact)}</li>`
      )
    }</ul>`
  }`;
}

/** @param {RollCall} call @param {Fact} fact */
function head(call, fact) {
  const about = typeof fact.bird === 'number' ? call.nameOf(fact.bird) : fact.counted ?? fact.because ?? '';
  return html`<h3 class="name">${KINDS[fact.kind] || fact.kind} ${about}</h3><p class="small">
    ${momentOf(fact.at)}, ${call.personOf(fact.by)}</p>`;
}

/** @param {RollCall} call @param {Entry} entry */
function one(call, { fact, reason }) {
  return html`<li class="mend" data-k="m${fact.id}">${head(call, fact)}<p class="mend-why">${reason}</p>
${
    fact.kind === 'sighting' && html`<label class="note-in"><span class="small">The bird was</span><select class="btn"
  data-mend="bird">${birdOptions(call, fact)}</select></label>`
  }
${
    fact.kind === 'count' && html`<label class="note-in"><span class="small">Counted</span><input class="entry-in num"
  data-mend="counted" type="number" min="0" max="9999" value="${fact.counted ?? ''}"></label>`
  }
<label class="note-in"><span class="small">It was at</span><input class="btn num" data-mend="at" type="datetime-local"
  step="60" value="${fact.at.slice(0, 16)}"></label>
<label class="note-in"><span class="small">Told by</span><select class="btn"
  data-mend="by">${
    call.pack.people.map(({ id, name }) =>
      html`<option
  value="${id}"${id === fact.by ? html` selected` : ''}>${name}</option>`
    )
  }</select></label>
<button class="btn first" type="button" data-act="mend" data-fact="${fact.id}">Say it again so</button></li>`;
}

/** @param {RollCall} call @param {Fact} fact */
function birdOptions(call, fact) {
  const known = call.pack.flocks.flatMap((flock) => flock.birds.map((bird) => ({ bird, flock })));
  return html`<option value="">nobody named: save as a part
    reading</option>${
    known.map(({ bird, flock }) =>
      html`<option
    value="${bird.id}"${bird.id === fact.bird ? html` selected` : ''}>${bird.name} (${flock.lookalike})</option>`
    )
  }`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  mend: async (call, button) => {
    const entry = call.kept.entries.get(button.dataset.fact || ''), box = button.closest('.mend');
    if (entry?.fate !== 'refused' || !box) return; // a second tap came while the first one was kept
    const said = (/** @type {string} */ name) =>
      /** @type {HTMLInputElement|HTMLSelectElement|null} */ (box.querySelector(`[data-mend="${name}"]`))?.value;
    /** @type {Fact} */
    const fact = { ...entry.fact, id: call.newId(), by: Number(said('by')) || entry.fact.by };
    const at = said('at');
    if (at && at !== entry.fact.at.slice(0, 16)) fact.at = localIso(new Date(at));
    if (fact.kind === 'sighting') {
      const bird = said('bird');
      Object.assign(fact, bird ? { bird: Number(bird), how: fact.how || 'by sight' } : { bird: null, how: null });
    }
    if (fact.kind === 'count') fact.counted = Number(said('counted'));
    await call.kept.mend(entry.fact.id, fact);
    call.refresh();
  },
};
