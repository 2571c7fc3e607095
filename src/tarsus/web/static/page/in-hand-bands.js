// @ts-check
// In hand: the bird against its record, and each band: its condition, its replacement from stock.

import { spares, unchecked, wrongBird } from '../shared/in-hand.js';
import { MOULT } from '../shared/fitting.js';
import { chip, inWords } from '../shared/band-drawing.js';
import { pagePalette } from './page-palette.js';
import { drawn, html } from './markup.js';

/** @typedef {import('./in-hand-state.js').Hand} Hand */
/** @typedef {import('../shared/in-hand.js').Bird} Bird */
/** @typedef {import('../shared/in-hand.js').Band} Band */

const FIRST = ['good', 'worn', 'missing'];

/** @param {Hand} hand @param {Bird} bird */
export function record(hand, bird) {
  const amiss = wrongBird(bird, hand.found, hand.pack.birds);
  return html`${bird.quarantine && html`<p class="note" data-k="hygiene">${hand.pack.cautions.hygiene}</p>`}
    <p class="note" data-k="bill">${hand.pack.cautions.bill}</p><div class="hand-top" data-k="top">
    <band-drawing at="figure" quiet form="${bird.form}" name="${bird.name}" marks="${JSON.stringify(bird.marks)}"
    flags="${JSON.stringify(bird.flags)}"
    pins="${JSON.stringify(bird.natural_marks.map(({ x, y }) => ({ x, y })))}"></band-drawing><div><p class="small">
    On record, faces away</p><p class="says">
    ${
    bird.bands.length
      ? inWords({ marks: bird.marks, flags: bird.flags, form: /** @type {any} */ (bird.form) })
      : bird.natural_marks.map(({ text }) => text).join('; ')
  }
    </p><label class="num-in"><span class="small">Read the number${
    bird.engraving && html`: <b
    class="num">${bird.engraving}</b>`
  }</span><input id="hand-number" type="text" autocomplete="off" spellcheck="false"
    value="${hand.found.number}"></label></div></div>
${
    amiss && html`<div class="prompt" role="alert" data-k="amiss"><p><b>${amiss.says}</b></p><div class="pairbtn">
  ${
      amiss.other ?
        html`<button class="btn first" type="button" data-act="other"
  data-bird="${amiss.other.id}">It is ${amiss.other.name}</button>` :
        html`<a class="btn"
  href="#">Choose again</a>`
    }<button class="btn" type="button" data-act="agreed"
  aria-pressed="${hand.found.agreed}">It is ${bird.name} all the same</button></div></div>`
  }
${
    bird.due.length > 0 && html`<ul class="due-list" data-k="due">${
      bird.due.map((duty) =>
        html`<li>
  <b>${duty.what}</b> <span class="small">${duty.why}</span></li>`
      )
    }</ul>`
  }
${
    bird.waits && html`<p class="note" data-k="waits">
  In hand on this phone already, bands changed; the server has not heard of it yet.</p>`
  }`;
}

/** @param {Hand} hand @param {Bird} bird */
export function bands(hand, bird) {
  if (!bird.bands.length)
    return html`<p class="note" data-k="none">
    ${bird.planned ? 'Wears no bands yet.' : 'Wears no bands: told by its natural marks.'}</p>`;
  return html`<div class="split" data-k="bands-h"><h2 class="ruled">Each band</h2>
    ${
    unchecked(bird, hand.found).length > 0 && html`<button class="btn" type="button" data-k="all"
    data-act="all-good">All good</button>`
  }</div>
<ul class="checks" data-k="bands">${bird.bands.map((band) => one(hand, band))}</ul>
${
    bird.bands.some((band) => needsCaution(hand, band)) && html`<p class="note" data-k="fit">
  ${hand.pack.cautions['fit band']}</p>`
  }`;
}

/** @param {Hand} hand @param {Band} band */
function needsCaution(hand, band) {
  const said = hand.found.conditions.get(band.id);
  return said !== undefined && said !== 'good';
}

/** @param {Hand} hand @param {Band} band */
function one(hand, band) {
  const said = hand.found.conditions.get(band.id),
    others = hand.pack.words.conditions.filter((word) => !FIRST.includes(word));
  const where = `${band.site}${band.kind !== 'colour' && band.kind !== 'metal' ? `, ${band.kind}` : ''}${
    band.temporary ? ', temporary' : ''
  }`;
  return html`<li class="check" data-k="band${band.id}">
    <span class="pair"><span class="key-face"
    aria-hidden="true">${drawn(chip(band.word, pagePalette()))}</span><span><b>${band.word}</b> <span
    class="small">${where}</span></span></span>
<div class="seg" role="group" aria-label="${band.word}, ${band.site}">
  ${
    FIRST.map((word) =>
      html`<button type="button" data-act="condition" data-band="${band.id}" data-word="${word}"
  aria-pressed="${said === word}">${word === 'missing' ? 'gone' : word}</button>`
    )
  }<label class="more-words"><span
  class="hide">Another condition of ${band.word}, ${band.site}</span><select data-change="condition"
  data-band="${band.id}"><option value="">other</option>${
    others.map((word) =>
      html`<option
  value="${word}"${said === word ? html` selected` : ''}>${word}</option>`
    )
  }</select></label></div>
${
    (band.kind === 'wing' || band.kind === 'flipper') && html`<button class="btn off-for" type="button" data-k="moult"
  data-act="moult" data-band="${band.id}"
  aria-pressed="${hand.found.off.get(band.id) === MOULT}">Off for the moult</button>`
  }
${said === 'tight' && html`<p class="note" data-k="tight">${hand.pack.cautions['tight band']}</p>`}
${
    needsCaution(hand, band) && special(band).map((key) =>
      html`<p class="note" data-k="${key}">${hand.pack.cautions[key]}
  </p>`
    )
  }
${
    needsCaution(hand, band) && (band.certified ?
      html`<p class="note" data-k="certified">
  ${hand.pack.cautions['closed band']}</p>` :
      replacing(hand, band))
  }</li>`;
}

/** Cautions of the band itself, beside that of fitting any. @param {Band} band @returns {string[]} */
const special = (
  band,
) => [
  ...(band.temporary ? ['chick band'] : []),
  ...(band.kind === 'wing' || band.kind === 'flipper' ? ['wing band'] : []),
];

/** @param {Hand} hand @param {Band} band */
function replacing(hand, band) {
  if (band.kind === 'metal' || band.kind === 'closed')
    return html`<p class="note" data-k="metal">
    A new metal band gets its number in the register: put it on there, with its series, when it is fitted.</p>`;
  const own = hand.bird ? spares(hand.shelf(hand.bird).bands, band) : [], chosen = hand.found.replaced.get(band.id);
  if (hand.find(hand.bird?.id || 0)?.chews)
    return html`<p class="note" data-k="chews">
    This species chews: no plastic and no butt-end band on it.</p>`;
  if (!own.length)
    return html`<p class="note" data-k="no-stock">
    No ${band.word} ${band.kind} band of its size is in stock.</p>`;
  return html`<div class="replace" data-k="replace">${
    own.map((spare) =>
      html`
    <div class="split" data-k="s${spare.size}">
    <span>${spare.colour || spare.kind}, size ${spare.size} <span
    class="small">${spare.amount} in stock</span></span><button class="btn" type="button" data-act="replace"
    data-band="${band.id}" data-size="${spare.size}"
    aria-pressed="${chosen?.size === spare.size}">Replace</button></div>`
    )
  }</div>`;
}

/** @type {Record<string, (hand: Hand, target: HTMLElement) => unknown>} */
export const acts = {
  'all-good': (hand) => {
    for (const band of unchecked(/** @type {Bird} */ (hand.bird), hand.found))
      hand.found.conditions.set(band.id, 'good');
  },
  condition: (hand, target) => {
    const id = Number(target.dataset.band),
      word = target.dataset.word || /** @type {HTMLSelectElement} */ (target).value;
    if (!word) return;
    hand.found.conditions.set(id, word);
    if (word === 'good') hand.found.replaced.delete(id);
  },
  moult: (hand, target) => {
    const id = Number(target.dataset.band);
    if (hand.found.off.get(id) === MOULT) hand.found.off.delete(id);
    else hand.found.off.set(id, MOULT);
  },
  replace: (hand, target) => {
    const id = Number(target.dataset.band), band = hand.bird?.bands.find((one) => one.id === id);
    const spare = band && hand.bird &&
      spares(hand.shelf(hand.bird).bands, band).find((one) => one.size === target.dataset.size);
    if (hand.found.replaced.get(id)?.size === target.dataset.size) hand.found.replaced.delete(id);
    else if (spare) hand.found.replaced.set(id, spare);
  },
  other: (hand, target) => {
    hand.take(Number(target.dataset.bird));
    location.hash = `bird-${target.dataset.bird}`;
  },
  agreed: (hand) => {
    hand.found.agreed = !hand.found.agreed;
  },
};
