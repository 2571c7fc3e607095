// @ts-check
// Two birds that a reading may name, side by side: what tells them apart, as others see it and as at 30 metres.

import { html } from './markup.js';

/** @typedef {import('./who-state.js').Who} Who */

/** The likeliest two of those that fit, where there are two.
 * @param {{bird: import('../shared/pack.js').Bird, chance: number}[]} fitting */
export function pairLink([first, second]) {
  if (!second) return '';
  return html`<a class="btn" href="#pair-${first.bird.id}-${second.bird.id}"
    data-k="pair">${first.bird.name} or ${second.bird.name}: side by side</a>`;
}

/** @param {Who} who @param {string} at  what the address names: pair-12-34 */
export function view(who, at) {
  const [one, other] = at.split('-').slice(1).map((id) => who.find(Number(id)));
  if (!one || !other)
    return html`<p class="say">These birds are not on this phone.</p><p>
    <a class="btn" href="#read">Back to the reading</a></p>`;
  const told = (/** @type {import('./who-state.js').Known} */ { bird }) =>
    JSON.stringify({ name: bird.name, marks: bird.marks });
  return html`<p data-k="pair-back"><a class="btn" href="#read">Back to the reading</a></p>
<h2 class="ruled" data-k="pair-h">${one.bird.name} and ${other.bird.name}</h2>
<pair-drawing one="${told(one)}" other="${told(other)}"
  data-k="pair-drawing">${one.bird.name} and ${other.bird.name} side by side</pair-drawing>`;
}
