// @ts-check
// The reading: what was seen on the legs or the wings, colour by colour, and who it may be, in any exhibit.

import { anySeen } from '../shared/sides.js';
import { percent } from '../shared/words.js';
import { html } from './markup.js';
import { lightRow } from './light-row.js';
import { keysView, onSite, plumageRow, readingActs, sureRow } from './reading-keys.js';
import { readingFigure } from './roll-call-figure.js';
import { choices, glyph } from './roll-call-pieces.js';
import { pairLink } from './who-pair.js';

/** @typedef {import('./who-state.js').Who} Who */

export const WHERE = { legs: 'on the legs', tall: 'above the joint', wings: 'on the wings' };
const SHOWN = 8;

/** @param {Who} who */
export function view(who) {
  if (!who.legTold && !anySeen(who.reading)) return legFirst(who);
  const answer = who.answer(),
    forms = who.forms(),
    on = onSite(who, who.sites),
    look = answer.verdict.lookSite === on ? '' : answer.verdict.lookSite;
  const near = anySeen(who.reading) && answer.verdict.kind !== 'none' && pairLink(answer.candidates);
  return html`${
    forms.length > 1 &&
    choices({
      label: 'Where the bands are',
      act: 'form',
      kind: 'species',
      of: forms.map((form) => ({ value: form, words: WHERE[form] })),
      chosen: who.form,
    })
  }
<div class="stage" data-k="stage">
  ${readingFigure({ form: who.form, reading: who.reading, facing: '', active: on, look })}<button class="btn clear"
  type="button" data-act="clear">Start over</button></div>
<p class="say" aria-live="polite" data-k="say">
  ${answer.verdict.say}${
    answer.verdict.look && html` <span
  class="look-say">${answer.verdict.look}</span>`
  }${
    answer.verdict.quiet && html` <span
  class="quiet">${answer.verdict.quiet}</span>`
  }</p>
<div class="read-tiles many" data-k="fits">${
    fits(who, answer) || html`<p class="await small">
  ${who.banded().length} birds may be asked about. The ones that fit come here.</p>`
  }</div>
${keysView(who, who.looked())}
${near && html`<div class="stands" data-k="near">${near}</div>`}<div class="stands" data-k="also">${sureRow(who)}
  <div class="seg sure"><button type="button" data-k="visitor" data-act="visitor"
  aria-pressed="${who.visitor}">visitor report</button></div></div>
${plumageRow(who, who.banded().map(({ bird }) => bird))}${
    !who.visitor && html`<div class="lit" data-k="lit">
  <span class="small">Light${!who.seenIn && who.roundLight() && html`<br>as in the roll call`}</span>
  ${lightRow(who.lit())}</div>`
  }`;
}

/** Which leg was seen comes first: a left taken for a right is the commonest error there is. @param {Who} who */
function legFirst(who) {
  const { limb } = who, forms = who.forms();
  const button = (/** @type {string} */ value, /** @type {string} */ words, /** @type {string} */ more) =>
    html`<button
    type="button" class="btn" data-k="leg-${value}" data-act="leg-first" data-value="${value}"><span
    class="deed-n">${words}</span><span>${more}</span></button>`;
  return html`${
    forms.length > 1 &&
    choices({
      label: 'Where the bands are',
      act: 'form',
      kind: 'species',
      of: forms.map((form) => ({ value: form, words: WHERE[form] })),
      chosen: who.form,
    })
  }
<h2 class="lead leg-asked" data-k="asked" id="leg-asked">Which ${limb} did you see?</h2>
<div class="leg-first" role="group" aria-labelledby="leg-asked" data-k="leg-first">
  ${button('left', 'its left', `the bird’s own left ${limb}`)}${
    button('right', 'its right', `the bird’s own right ${limb}`)
  }${button('unclear', 'not sure', 'either side will do')}
  </div>
<div class="stage" data-k="stage">
  ${readingFigure({ form: who.form, reading: who.reading, facing: '', active: '', look: '' })}</div>`;
}

/** @param {Who} who @param {ReturnType<Who['answer']>} answer */
function fits(who, answer) {
  if (!anySeen(who.reading)) return null;
  const many = answer.verdict.kind === 'several' ? Math.max(4, Math.min(SHOWN, answer.verdict.several)) : 4;
  return fitTiles(answer.candidates.slice(0, many));
}

/** The birds that fit, each with its exhibit. @param {(import('./who-state.js').Known & {chance: number})[]} fitting */
export function fitTiles(fitting) {
  return fitting.map(({ bird, flock, pack, chance }) =>
    html`<button type="button" class="tile" data-k="b${bird.id}"
    data-act="choose" data-bird="${bird.id}">${glyph(bird, flock.form)}<span class="tile-n">${bird.name}</span><span
    class="pct">${percent(chance)}</span><span class="small tile-where">${pack.exhibit.name}</span></button>`
  );
}

/** @type {Record<string, (who: Who, button: HTMLElement) => unknown>} */
export const acts = {
  ...readingActs((/** @type {Who} */ who) => ({ desk: who, looked: who.looked() })),
  form: (who, button) => who.choose(/** @type {Who['form']} */ (button.dataset.value)),
  'leg-first': (who, button) => who.tellLeg(/** @type {'left'|'right'|'unclear'} */ (button.dataset.value)),
  light: (who, button) => {
    const light = /** @type {import('../shared/lights.js').Light} */ (button.dataset.value), lit = who.lit();
    who.seenIn = { ...lit, light: lit.light === light ? '' : light };
  },
  mud: (who) => {
    const lit = who.lit();
    who.seenIn = { ...lit, mud: lit.mud ? null : true };
  },
  visitor: (who) => {
    who.visitor = !who.visitor;
  },
  clear: (who) => who.choose(),
  choose: (who, button) => {
    who.chosen = Number(button.dataset.bird);
    who.pictured = location.hash === '#photo';
    location.hash = 'bird';
  },
};
