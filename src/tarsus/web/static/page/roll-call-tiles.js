// @ts-check
// By sight: a tile for each bird not yet seen, the likely ones at this place first. One tap is *seen*.

import { birdOf, onTheRoll } from '../shared/pack.js';
import { tileOrder } from '../shared/tiles.js';
import { html } from './markup.js';
import { tile } from './roll-call-pieces.js';
import { placesRow } from './roll-call-place.js';
import * as told from './roll-call-told.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

/** @param {RollCall} call */
export function view(call) {
  if (call.flock.form === 'told') return told.view(call);
  const turn = `${call.lookalike} ${call.place} ${call.round.id}`;
  const order = tileOrder(call.desk.tiles || null, onTheRoll(call.flock), (id) => call.seen(id), call.place, turn);
  call.desk.tiles = order;
  return html`${placesRow(call)}<div class="tiles" data-k="grid">
    ${order.here.map((id) => one(call, id))}${
    order.elsewhere.length > 0 && order.here.length > 0 && html`
    <p class="elsewhere small" data-k="elsewhere">more often elsewhere</p>
    `
  }${order.elsewhere.map((id) => one(call, id))}${
    !order.here.length && !order.elsewhere.length && html`
    <p class="await small">Every ${call.lookalike} on the roll is seen.</p>`
  }</div>`;
}

/** @param {RollCall} call @param {number} id */
function one(call, id) {
  const found = birdOf(call.pack, id);
  return found &&
    tile({
      bird: found.bird,
      form: found.flock.form,
      act: 'see-by-sight',
      seen: call.seen(id),
      doubtful: call.doubtful(id),
      once: call.readOnce(id),
    });
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'see-by-sight': async (call, button) => {
    const bird = Number(button.dataset.bird), seen = call.state.seen.get(bird);
    if (seen && call.seen(bird)) {
      call.last = seen.sighting.id;
      return;
    } // the strip turns to it; nothing is said twice
    await call.see({ bird, how: 'by sight' });
    sound('seen');
  },
};
