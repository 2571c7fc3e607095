// @ts-check
// Birds without bands, told by their natural marks: the marks in words beside the bird, one deed *seen*.

import { clockOf } from '../shared/facts.js';
import { onTheRoll } from '../shared/pack.js';
import { html } from './markup.js';
import { glyphFigure } from './roll-call-figure.js';
import { asked, searched, TICK } from './roll-call-pieces.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/pack.js').Bird} Bird */

const SEX = /** @type {Record<string, string>} */ ({ F: 'female', M: 'male', U: 'sex not known' });

/** @param {RollCall} call */
export function view(call) {
  return html`<div class="tiles-told" data-k="told"><p class="small">
    No bands here: told by natural marks. Two marks that fit are not yet certain; the transponder is. A wound heals and
    is no mark: it is a concern.</p>
<ul class="told-list">${onTheRoll(call.flock).map((bird) => row(call, bird))}</ul></div>`;
}

/** @param {RollCall} call @param {Bird} bird */
function row(call, bird) {
  const seen = call.state.seen.get(bird.id);
  const marks = bird.natural_marks.map((mark) =>
    html`<li>
    ${mark.text}${mark.review_by && html`<span class="small told-review">review by ${mark.review_by}</span>`}</li>`
  );
  return html`<li class="told-row" data-k="told${bird.id}">${glyphFigure(bird)}<div><h2 class="name">
    ${bird.name} <span class="small">${SEX[bird.sex] || ''}</span></h2>
      ${!(seen && call.seen(bird.id)) && searched(bird)}${asked(bird)}
<ol class="told-marks">${marks}</ol>${
    !marks.length && html`<p class="small">
  No natural mark is on record: read its transponder.</p>`
  }
${
    seen && call.seen(bird.id)
      ? html`<p class="done" data-k="done">${TICK}seen ${clockOf(seen.at)}, ${seen.how}</p>`
      : html`<button class="btn first" type="button" data-k="see" data-act="see-by-sight"
        data-bird="${bird.id}">Seen<span
      class="hide">: ${bird.name}</span></button>`
  }</div></li>`;
}
