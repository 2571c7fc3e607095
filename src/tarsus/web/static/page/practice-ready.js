// @ts-check
// How ready this person is for this flock: names right of the latest, with an interval, and whom to look at again.

import { LATEST } from '../shared/practice.js';
import { inARow, plural } from '../shared/numbers.js';
import { alikeToYou, eyesFor } from '../shared/practice-sight.js';
import { alikeWords, ownWords, readyWords } from '../shared/practice-words.js';
import { html } from './markup.js';
import { glyph } from './roll-call-pieces.js';

/** @typedef {import('./practice-state.js').Practice} Practice */

const SHOWN = 12;

/** @param {Practice} practice */
export function view(practice) {
  const found = practice.ready(),
    byId = new Map(practice.birds.map((bird) => [bird.id, bird])),
    name = (/** @type {number} */ id) => byId.get(id)?.name || '';
  return html`<p class="say" data-k="say">${readyWords(found)}</p><p class="small" data-k="what">
    Of your latest ${LATEST} answers about ${plural(practice.lookalike)} of ${practice.pack.exhibit.name}, with the
    interval of 95 %.</p>
${
    found.again.length > 0 && html`<h2 class="ruled" data-k="again-h">Look at these again</h2>
  <ul class="lookfor" data-k="again">
  ${
      found.again.slice(0, SHOWN).map(({ bird, wrong, said }) => {
        const one = byId.get(bird);
        return one && html`
  <li data-k="a${bird}">${glyph(one, practice.flock.form)}<div><h3 class="name">${one.name}</h3><p class="small">
  ${said.length ? `taken for ${inARow(said.map(name))}` : 'could not be told'}${wrong > 1 && `, ${wrong} times`}
  </p></div></li>`;
      })
    }</ul>`
  }
${sight(practice)}<p class="note" data-k="own">${ownWords(practice.shares)}</p>
<div class="partrow" data-k="forget-row">
  <button class="btn" type="button" data-k="share" data-act="practice-share"
  aria-pressed="${practice.shares}"
  >${practice.shares ? 'Take back what I shared' : 'Share that I am ready or not yet'}</button><button class="btn"
  type="button" data-act="practice-forget">Forget my answers here</button></div>`;
}

/** Colours that look alike to this person: worked out anew each time, and kept nowhere unless they enter it themselves.
 * @param {Practice} practice */
function sight({ learnt, birds, pack }) {
  const found = alikeToYou(learnt.answers, new Map(birds.map(({ id, marks }) => [id, marks])), pack.reader.confusion);
  return found.length > 0 && html`<h2 class="ruled" data-k="sight-h">For you alone</h2><ul data-k="sight">
    ${found.map((one) => html`<li>${alikeWords(one)}</li>`)}</ul><p class="small" data-k="sight-what">
    A screen and dusk do that too. Nothing of this is kept or told. If it is so at the exhibit as well and you wish that
    your readings allow for it, enter it: the form comes filled in, and nothing is stored before you save it.</p>
    <p class="partrow" data-k="sight-enter">
    <a class="btn" href="/settings/eyes/#${eyesFor(found[0].pair, pack.park.palette)}">Enter how I see colours</a></p>`;
}

/** @type {Record<string, (practice: Practice, button: HTMLElement) => unknown>} */
export const acts = {
  'practice-share': (practice) => practice.share(!practice.shares),
  'practice-forget': async (practice) => {
    practice.learnt = { memories: {}, answers: [] };
    practice.last = null;
    await practice.keep();
  },
};
