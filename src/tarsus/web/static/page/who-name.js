// @ts-check
// By its number or its name: the metal number, as far as it was read, or the first letters of a name.

import { numbered } from '../shared/matching.js';
import { html } from './markup.js';
import { glyph } from './roll-call-pieces.js';

/** @typedef {import('./who-state.js').Who} Who */

const SHOWN = 40;

/** @param {Who} who */
export function view(who) {
  const found = who.typed ? numbered(who.known(), who.typed) : [];
  return html`<label class="note-in" data-k="typed"><span
    class="small">Number on the metal band or its last digits (? for a digit not read), or a name</span><input
    class="entry-in" id="who-typed" data-live type="text" autocomplete="off" autocapitalize="none" spellcheck="false"
    value="${who.typed}"></label>
<p class="say" aria-live="polite" data-k="say">
  ${
    who.typed ?
      (found.length
        ? `${found.length} ${found.length === 1 ? 'bird fits' : 'birds fit'}.`
        : 'Nobody here has such a number or name.') :
      html`<span
  class="quiet">${who.known().length} birds may be asked about.</span>`
  }</p>
<ul class="lookfor" data-k="found">${
    found.slice(0, SHOWN).map(({ bird, flock, pack }) =>
      html`<li data-k="n${bird.id}">
  ${glyph(bird, flock.form)}<div><h3 class="name">${bird.name}</h3><p class="small">
  ${bird.species}, ${pack.exhibit.name}${bird.engraving && `; ${bird.engraving}`}</p></div>
  <button class="btn" type="button" data-act="choose" data-bird="${bird.id}">This one<span
  class="hide">: ${bird.name}</span></button></li>`
    )
  }</ul>`;
}
