// @ts-check
// A whole house by one act: all of them move, those who would not are ticked. Whoever is searched for is ticked
// beforehand: that a house moved shows nobody.

import { house } from '../shared/deed-form.js';
import { counted } from '../shared/numbers.js';
import { drawn, html } from './markup.js';

/** @typedef {import('./tell-state.js').Tell} Tell */

/** @param {Tell} tell */
export function view(tell) {
  const { exhibit, bird } = tell.named,
    from = tell.pack,
    all = birds(tell),
    wrong = (/** @type {string} */ name) => tell.wrong.find((one) => one.name === name);
  return html`${
    bird ?
      html`<p data-k="who">
    <b>Bird:</b> ${tell.bird(bird)?.name}, from ${from?.exhibit.name || 'no exhibit'}</p>` :
      html`<p data-k="who">
    <b>From:</b>
    ${from ? `${from.exhibit.name}, ${all.length} ${counted('bird', all.length)}` : 'choose the exhibit above'}</p>`
  }
<div class="field${wrong('to_exhibit') ? ' is-refused' : ''}" data-k="to">
  <label for="t-to">To</label><select id="t-to" name="to_exhibit"><option value=""
  data-k="none">choose</option>${
    tell.exhibits.filter(({ id }) => id !== exhibit).map(({ id, name }) =>
      html`<option
  value="${id}" data-k="o${id}">${name}</option>`
    )
  }</select>${
    wrong('to_exhibit') && html`<p class="refusal" data-k="w">
  ${wrong('to_exhibit')?.says}</p>`
  }</div>
${
    !bird && all.length > 0 && html`<fieldset class="ticks stayed field" data-k="stayed"><legend>Tick who would not come
  </legend><div>${
      all.map((one) =>
        html`<label data-k="s${exhibit}-${one.id}"><input type="checkbox" name="stayed" value="${one.id}"
  data-several${searched(one) ? drawn(' checked') : ''}> ${one.name}${searched(one) && ', searched for'}</label>`
      )
    }</div></fieldset><div class="field" data-k="why-not">
  <label for="t-why-not">Why they stayed</label><input id="t-why-not" name="why_not" maxlength="200"
  autocomplete="off"></div>`
  }
${wrong('came') && html`<p class="refusal" data-k="came">${wrong('came')?.says}</p>`}
<div class="field" data-k="because"><label for="t-because">Why they move</label><input id="t-because" name="because"
  maxlength="200" autocomplete="off"></div>`;
}

/** @param {import('../shared/pack.js').Bird} bird */
const searched = ({ advice }) => advice === 'search';

/** Who is meant to move. @param {Tell} tell */
function birds(tell) {
  const { bird } = tell.named, one = tell.bird(bird);
  return bird ? (one ? [one] : []) : tell.pack ? tell.birds().filter(({ whereabouts }) => !whereabouts) : [];
}

/** @param {Tell} tell @param {import('../shared/deed-form.js').Filled} filled
 * @returns {{keys: Record<string, any>, wrong: {name: string, says: string}[]}} */
export function read(tell, filled) {
  const why = String(filled.why_not || '').trim(),
    ticked = new Set((/** @type {string[]} */ (filled.stayed || [])).map(Number)),
    stayed = new Map(
      birds(tell).filter(({ id }) => ticked.has(id))
        .map((one) => [one.id, why || (searched(one) ? 'searched for' : '')]),
    );
  const told = house(birds(tell).map(({ id }) => id), stayed), to = Number(filled.to_exhibit) || null;
  const wrong = [
    ...(to ? [] : [{ name: 'to_exhibit', says: 'To: choose where they live now' }]),
    ...(told.came.length ? [] : [{ name: 'came', says: 'Nobody is left to move: untick those who came' }]),
  ];
  return {
    keys: {
      ...told,
      to_exhibit: to,
      from_exhibit: tell.named.exhibit,
      because: String(filled.because || '').trim() || null,
    },
    wrong,
  };
}
