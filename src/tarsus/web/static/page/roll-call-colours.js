// @ts-check
// Colour by colour, for a stack that nobody here wears or that was only seen in part.

import { html } from './markup.js';
import { keysView, onSite, readingActs } from './reading-keys.js';
import { readingFigure } from './roll-call-figure.js';
import { preparedFlock } from './roll-call-model.js';
import { answerTo, candidateTiles, sayLine } from './roll-call-read.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

/** @param {RollCall} call */
export function view(call) {
  const { looked } = preparedFlock(call.pack, call.flock), on = onSite(call, looked.sites), answer = answerTo(call);
  const look = answer.verdict.lookSite !== on ? answer.verdict.lookSite : '';
  return html`<div class="stage" data-k="stage">
    ${readingFigure({ form: call.flock.form, reading: call.reading, facing: call.facing, active: on, look })}<button
    class="btn clear" type="button" data-act="read-clear">Start over</button><a class="btn backto"
    href="#read">${looked.limb === 'wing' ? 'Wing' : 'Leg'} keys</a></div>
${sayLine(answer)}
<div class="read-tiles" data-k="fits">${
    candidateTiles(call, answer, 4, 'see-read') || html`<p class="await small">
  The birds that fit come here.</p>`
  }</div>
${keysView(call, looked)}`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  ...readingActs((/** @type {RollCall} */ call) => ({
    desk: call,
    looked: preparedFlock(call.pack, call.flock).looked,
  })),
  'read-clear': (call) => call.forget(),
};

/** A site of the figure was chosen. @param {RollCall} call @param {string} site */
export function chooseSite(call, site) {
  if (preparedFlock(call.pack, call.flock).looked.sites.includes(site)) call.on = site;
}
