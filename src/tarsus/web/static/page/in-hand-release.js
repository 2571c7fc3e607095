// @ts-check
// In hand: weight against the bird's own, nails, sample, note, and the release.

import { grams, release, weightSays } from '../shared/in-hand.js';
import { html } from './markup.js';
import { TRIANGLE } from './roll-call-pieces.js';

/** @typedef {import('./in-hand-state.js').Hand} Hand */
/** @typedef {import('../shared/in-hand.js').Bird} Bird */

const SAMPLES = ['blood', 'feather', 'swab'];
const shortDay = (/** @type {string} */ day) =>
  new Date(`${day}T12:00`).toLocaleDateString('en-GB', { day: 'numeric', month: 'short' });

/** @param {Hand} hand @param {Bird} bird */
export function weight(hand, bird) {
  const said = weightSays(bird, hand.found),
    last = bird.last_g.map(({ on, g }) => `${g} g on ${shortDay(on)}`).reverse().join(', ');
  return html`<h2 class="ruled" data-k="weight-h">Weight</h2>
<div class="weigh" data-k="weigh"><label class="w-in"><span class="hide">Weight in grams</span><input id="hand-weight"
  type="text" inputmode="decimal" autocomplete="off" value="${hand.found.weight}"><span
  aria-hidden="true">g</span></label><p class="small" data-k="usual">
  ${bird.usual_g ? html`Usual <b class="num">${Math.round(bird.usual_g)} g</b>. ` : ''}${last && `Last ${last}.`}
  </p></div>
<div class="seg fed" role="group" aria-label="Fed" data-k="fed">
  <button type="button" data-act="fed" data-word="no" aria-pressed="${hand.found.fed === false}">not fed</button><button
  type="button" data-act="fed" data-word="yes" aria-pressed="${hand.found.fed === true}">fed</button></div>
<p class="${said.prompt !== 'nothing' ? 'prompt' : said.says ? 'say' : 'hide'}" role="status" aria-live="polite"
  data-k="weight-says">${said.prompt !== 'nothing' && TRIANGLE}<b>${said.says}</b>${
    hand.found.first && html` <span
  class="small">First ${hand.found.first} g.</span>`
  }</p>
${
    said.prompt !== 'nothing' && !hand.found.first && html`<button class="btn" type="button" data-k="again"
  data-act="again">Weigh again</button>`
  }
<p class="note" data-k="weigh-caution">${hand.pack.cautions.weigh}</p>`;
}

/** @param {Hand} hand */
export function beside(hand) {
  const { nails, sample, label, note } = hand.found;
  return html`<h2 class="ruled" data-k="nails-h">Nails</h2>
    <div class="seg" role="group" aria-label="Nails" data-k="nails">
    ${
    hand.pack.words.nails.map((word) =>
      html`<button type="button" data-act="nails" data-word="${word}"
    aria-pressed="${nails === word}">${word}</button>`
    )
  }</div>
<details data-k="sample"${sample ? html` open` : ''}><summary>Sample for sexing</summary><p class="note">
  ${hand.pack.cautions.sample}</p><div class="seg" role="group" aria-label="Sample">
  ${
    SAMPLES.map((word) =>
      html`<button type="button" data-act="sample" data-word="${word}"
  aria-pressed="${sample === word}">${word}</button>`
    )
  }</div>
  <label class="note-in"><span class="small">Label on the tube</span><input id="hand-label" type="text"
  autocomplete="off" value="${label}"></label></details>
<label class="note-in" data-k="note"><span class="small">Note</span><textarea id="hand-note" rows="2"
  maxlength="500">${note}</textarea></label>`;
}

/** @param {Hand} hand @param {Bird} bird */
export function going(hand, bird) {
  const { stood, walked, lame, tellVet } = hand.found, may = release(bird, hand.found, hand.pack.birds);
  const check = (/** @type {string} */ what, /** @type {string} */ words, /** @type {boolean} */ on) =>
    html`<button
    class="btn ck" type="button" data-act="seen" data-what="${what}" aria-pressed="${on}">${words}</button>`;
  return html`<h2 class="ruled" data-k="release-h">Release</h2>
    <div class="cks" role="group" aria-label="Seen at release" data-k="release">
    ${check('stood', 'stood', stood)}${check('walked', 'walked', walked)}${check('lame', 'lame', lame)}</div>
<div class="deeds hand-deeds" data-k="deeds">
  <button class="btn worry" type="button" data-k="vet" data-act="vet"
  aria-pressed="${tellVet}">Tell the vet</button><button class="btn first" type="button" data-k="go"
  data-act="release"${may.ready ? '' : html` disabled`}><span
  class="deed-n">Release</span><span>${may.under}</span></button></div>`;
}

/** @type {Record<string, (hand: Hand, target: HTMLElement) => unknown>} */
export const acts = {
  fed: (hand, target) => {
    const to = target.dataset.word === 'yes';
    hand.found.fed = hand.found.fed === to ? null : to;
  },
  again: (hand) => {
    hand.found.first = hand.found.weight;
    hand.found.weight = '';
    /** @type {HTMLInputElement|null} */ const box = /** @type {any} */ (document.getElementById('hand-weight'));
    if (box) {
      box.value = '';
      box.focus();
    }
  },
  nails: (hand, target) => {
    hand.found.nails = hand.found.nails === target.dataset.word ? '' : target.dataset.word || '';
  },
  sample: (hand, target) => {
    hand.found.sample = hand.found.sample === target.dataset.word ? '' : target.dataset.word || '';
  },
  seen: (hand, target) => {
    const what = /** @type {'stood'|'walked'|'lame'} */ (target.dataset.what);
    hand.found[what] = !hand.found[what];
    if (what === 'lame' && hand.found.lame) hand.found.tellVet = true;
  },
  vet: (hand) => {
    hand.found.tellVet = !hand.found.tellVet;
  },
  release: async (hand) => {
    if (hand.found.weight.trim() && grams(hand.found.weight) === null)
      throw new Error(`Weight: ${hand.found.weight} is no weight in grams; type it again, or leave it out.`);
    await hand.letGo();
    location.hash = '';
  },
};
