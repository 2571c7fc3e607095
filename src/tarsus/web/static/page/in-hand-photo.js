// @ts-check
// In hand: which bird it is by a photograph of its legs, as in Who is it?. It names the bird that is opened and is no
// reading of anybody: with the bands in the hand they are checked one by one.

import { html } from './markup.js';
import { acts as whoActs, view as whoView } from './who-photo.js';

/** @typedef {import('./in-hand-state.js').Hand} Hand */

/** @param {Hand} hand */
export function view(hand) {
  if (!hand.finder)
    return html`<p class="say">No flock is on this phone.</p><p class="note">
    Open Today once in reach of the network, then take the picture.</p><p><a class="btn" href="#">Back</a></p>`;
  return html`${whoView(hand.finder)}<p data-k="back"><a class="btn" href="#">Back</a></p>`;
}

/** @type {Record<string, (hand: Hand, button: HTMLElement) => unknown>} */
export const acts = {
  ...Object.fromEntries(
    Object.entries(whoActs).map((
      [name, act],
    ) => [
      name,
      (/** @type {Hand} */ hand, /** @type {HTMLElement} */ button) => hand.finder && act(hand.finder, button),
    ]),
  ),
  choose: (hand, button) => {
    const id = Number(button.dataset.bird);
    if (!hand.find(id))
      throw new Error('The records for In hand do not have this bird yet. Open the page anew in reach of the network.');
    hand.take(id);
    location.hash = `bird-${id}`;
  },
};
