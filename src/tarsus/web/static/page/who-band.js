// @ts-check
// A band on the floor: whose may it be? Nobody is taken for dead.

import { chip } from '../shared/band-drawing.js';
import { hueOrder, wornColours } from '../shared/legkeys.js';
import { capital, counted, inWords } from '../shared/words.js';
import { wearers } from '../shared/wearers.js';
import { pagePalette } from './page-palette.js';
import { drawn, html } from './markup.js';
import { adviceMark, glyph } from './roll-call-pieces.js';
import { adviceWords } from '../shared/words.js';

/** @typedef {import('./who-state.js').Who} Who */

/** @param {Who} who */
export function view(who) {
  const [pack] = who.packs, birds = who.known().map(({ bird }) => bird);
  const colours = [...wornColours(birds, hueOrder(Object.keys(pack.park.palette), pack.reader.confusion)), 'metal'];
  const found = who.loose ? wearers(who.known(), who.loose, who.typed) : [];
  return html`<p class="lead" data-k="lead">Which band was found?</p>
<div class="keys" data-k="keys">${
    colours.map((band) =>
      html`<button class="key" type="button" data-k="loose ${band}"
  data-act="loose" data-band="${band}" aria-pressed="${who.loose === band}"><span class="key-face"
  aria-hidden="true">${drawn(chip(band, pagePalette()))}</span><span>${band}</span></button>`
    )
  }</div>
${
    who.loose === 'metal' && html`<label class="note-in" data-k="typed"><span
  class="small">Number on it, or its last digits (? for a digit not read)</span><input class="entry-in" id="who-typed"
  data-live type="text" autocomplete="off" spellcheck="false" value="${who.typed}"></label>`
  }
${
    who.loose && html`<p class="say" aria-live="polite" data-k="say">
  ${capital(who.loose)} band on the floor.
  ${
      found.length
        ? `${capital(inWords(found.length))} ${counted('bird', found.length)} ${
          found.length === 1 ? 'wears' : 'wear'
        } one.`
        : 'No bird here wears one.'
    }
  <span class="quiet">Nobody is taken for dead.</span></p>`
  }
<ul class="lookfor" data-k="found">${
    found.slice(0, 60).map(({ bird, flock, pack: of, marked }) =>
      html`
  <li data-k="w${bird.id}">${glyph(bird, flock.form)}<div><h3 class="name">${bird.name}</h3><p class="small">
  ${of.exhibit.name}${bird.engraving && `; ${bird.engraving}`}${
        marked && html`; <b>read without it lately, or found
  worn</b>`
      }</p></div>${adviceMark(adviceWords(bird, false))}</li>`
    )
  }</ul>
${who.loose && keepPart(who)}`;
}

/** @param {Who} who */
function keepPart(who) {
  const of = who.packs.filter((pack) => who.exhibit === null || pack.exhibit.id === who.exhibit);
  return html`<label class="note-in" data-k="where"><span class="small">Found in</span><select class="btn"
    id="loose-exhibit">${
    of.map(({ exhibit }) =>
      html`<option
    value="${exhibit.id}">${exhibit.name}</option>`
    )
  }</select></label>
<label class="note-in" data-k="note"><span class="small">Note</span><textarea id="loose-note" rows="2"
  maxlength="300"></textarea></label>
<div class="deeds two" data-k="deeds">
  <button class="btn" type="button" data-act="loose-clear">Cancel</button><button class="btn first" type="button"
  data-k="keep" data-act="loose-keep"><span
  class="deed-n">Save the found band</span><span>the owner stays open</span></button></div>`;
}

/** @type {Record<string, (who: Who, button: HTMLElement) => unknown>} */
export const acts = {
  loose: (who, button) => {
    who.loose = who.loose === button.dataset.band ? '' : button.dataset.band || '';
    who.typed = '';
  },
  'loose-clear': (who) => {
    who.loose = '';
    who.typed = '';
  },
  'loose-keep': async (who) => {
    const exhibit = Number(/** @type {HTMLSelectElement} */ (document.getElementById('loose-exhibit')).value);
    const note = /** @type {HTMLTextAreaElement} */ (document.getElementById('loose-note')).value.trim();
    const metal = who.loose === 'metal';
    await who.keep(
      who.make('band_found', {
        exhibit,
        place: null,
        what: metal ? 'metal' : 'colour',
        colour: metal ? null : who.loose,
        engraving: metal && who.typed ? who.typed : null,
        note: note || null,
      }),
    );
    who.said = `${capital(who.loose)} band kept as found. Its owner stays open.`;
    who.loose = '';
    who.typed = '';
  },
};
