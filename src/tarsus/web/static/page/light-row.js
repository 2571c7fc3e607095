// @ts-check
// The light on the birds and the mud on their bands, said with one tap: in a roll call, and in Who is it?.

import { LIGHTS } from '../shared/lights.js';
import { html } from './markup.js';

/** @param {{light?: unknown, mud?: unknown}|null} said  what was said of it, if anything */
export function lightRow(said) {
  return html`<div class="seg light" role="group" aria-label="Light on the birds" data-k="light">
    ${
    LIGHTS.map((light) =>
      html`<button type="button" data-k="light-${light}" data-act="light" data-value="${light}"
    aria-pressed="${said?.light === light}">${light}</button>`
    )
  }<button type="button" data-k="light-mud" data-act="mud"
    aria-pressed="${!!said?.mud}">mud</button></div>`;
}
