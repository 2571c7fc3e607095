// @ts-check
// Where the birds in view are. Nothing is chosen before somebody taps it; a tapped place stays for the birds in view,
// stands under the exhibit's name as long as it goes into the record, and is off again when other birds are turned to.

import { html } from './markup.js';
import { choices } from './roll-call-pieces.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

const WITH_PLACE = new Set(['tiles', 'read', 'colours', 'rail']);

/** The exhibit, and under it the place that what is tapped next gets. @param {RollCall} call @param {string} at */
export function title(call, at) {
  const { name, places } = call.pack.exhibit, where = call.placeOf(call.place);
  const shown = html`<h1 class="name">${call.past ? `${name}, from the sheet` : name}</h1>`;
  if (call.past || !places.length || !WITH_PLACE.has(at)) return html`<div class="title">${shown}</div>`;
  return html`<a class="title" href="#place">${shown}<span
    class="small${where ? ' is-said' : ''}">${where ? `at ${where}` : 'place not said'}</span></a>`;
}

/** The places in one row. @param {RollCall} call */
export function placesRow(call) {
  const of = call.pack.exhibit.places.map(({ id, name }) => ({ value: String(id), words: name }));
  return of.length > 0 &&
    choices({
      label: 'Where these birds are; none until you say',
      act: 'place',
      kind: 'places-row',
      of,
      chosen: String(call.place),
    });
}

/** @param {RollCall} call */
export function view(call) {
  return html`<p class="lead">Where are these birds?</p>
<div class="what" role="group" aria-label="Where these birds are">
  ${
    call.pack.exhibit.places.map(({ id, name }) =>
      html`<button class="btn" type="button" data-k="p${id}"
  data-act="place-back" data-value="${id}" aria-pressed="${call.place === id}">${name}</button>`
    )
  }</div>
<p class="note">It stays for the birds in view, until you turn to others. Tap it again to take it back.</p>
<button class="btn bare" type="button" data-k="none" data-act="place-back"
  data-value="">Not said: no place is kept</button>`;
}

/** Tapped once it is the place, tapped again it is not. @param {RollCall} call @param {HTMLElement} button */
function choose(call, button) {
  const place = button.dataset.value ? Number(button.dataset.value) : null;
  call.place = call.place === place ? null : place;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  place: choose,
  'place-back': (call, button) => {
    choose(call, button);
    location.hash = call.desk.cameFrom || 'tiles';
  },
};
