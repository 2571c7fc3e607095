// @ts-check
// In hand: what was kept for the bird, band by band, in one tap each; and the checks of every new band.

import { METAL, fittedFrom, nextNumber, onTheShelf, toFit, toTakeOff, whyPlanned } from '../shared/fitting.js';
import { FITTING } from '../shared/in-hand.js';
import { chip, inWords } from '../shared/band-drawing.js';
import { pagePalette } from './page-palette.js';
import { drawn, html } from './markup.js';

/** @typedef {import('./in-hand-state.js').Hand} Hand */
/** @typedef {import('../shared/in-hand.js').Bird} Bird */
/** @typedef {import('../shared/fitting.js').ToFit} ToFit */

/** @param {Hand} hand @param {Bird} bird */
export function view(hand, bird) {
  return html`${kept(hand, bird)}${
    (hand.found.replaced.size > 0 || hand.found.on.size > 0) && html`
    <h2 class="ruled" data-k="cks-h">Each new band</h2>
    <div class="cks" role="group" aria-label="Checks of the new bands" data-k="cks">
    ${
      FITTING.map((word) =>
        html`<button class="btn ck" type="button" data-act="fitting" data-word="${word}"
    aria-pressed="${hand.found.fitting.has(word)}">${word}</button>`
      )
    }</div>`
  }`;
}

/** @param {Hand} hand @param {Bird} bird */
function kept(hand, bird) {
  const on = toFit(bird.planned), off = toTakeOff(bird);
  if (!bird.planned || !(on.length || off.length)) return '';
  const drawing = { marks: bird.planned.marks, form: /** @type {any} */ (bird.form) };
  return html`<h2 class="ruled" data-k="fit-h">To fit</h2><div class="hand-top" data-k="fit-top">
    <band-drawing at="figure" quiet form="${bird.form}" name="${bird.name} as planned"
    marks="${JSON.stringify(bird.planned.marks)}"></band-drawing><div><p class="says">${inWords(drawing)}</p>
    <p class="small">${bird.planned.because}.</p></div></div>
<p class="note" data-k="fit-caution">${hand.pack.cautions['fit band']}</p>
  ${
    on.some(({ temporary }) => temporary) && html`<p class="note" data-k="chick">${hand.pack.cautions['chick band']}</p>
  `
  }${
    on.some(({ kinds }) => kinds[0] === 'wing') && html`<p class="note" data-k="wing">
  ${hand.pack.cautions['wing band']}</p>`
  }
<ul class="checks" data-k="fits">${
    off.map((band) =>
      html`<li class="check fit" data-k="off${band.id}">
  ${face(band.word, `${band.site}${band.temporary ? ', temporary' : ''}`)}<button class="btn" type="button"
  data-act="off" data-band="${band.id}"
  aria-pressed="${hand.found.off.has(band.id)}">${hand.found.off.has(band.id) ? 'Off' : 'Take off'}</button
  >${band.certified && html`<p class="note">${hand.pack.cautions['closed band']}</p>`}</li>
  `
    )
  }${on.map((step) => one(hand, bird, step))}</ul>`;
}

/** @param {string} word @param {string} where */
const face = (word, where) =>
  html`<span class="pair"><span class="key-face"
  aria-hidden="true">${drawn(chip(word, pagePalette()))}</span><span><b>${word}</b> <span
  class="small">${where}</span></span></span>`;

/** @param {Hand} hand @param {Bird} bird @param {ToFit} step */
function one(hand, bird, step) {
  const chosen = hand.found.on.get(step.key),
    shelf = onTheShelf(hand.shelf(bird), step),
    number = numberFor(hand, bird, step),
    size = chosen?.size || fittedFrom(step, shelf[0], number).size;
  const left = shelf.find((one) => one.size === size)?.amount;
  const held = size
    ? `size ${size}${left === undefined ? '' : `, ${left} on the shelf`}`
    : left === undefined
    ? 'not counted on the shelf'
    : `${left} on the shelf`;
  return html`<li class="check fit" data-k="on${step.key}">
    ${face(step.word, `${step.site}${step.temporary ? ', temporary' : ''}; ${held}`)}<button class="btn" type="button"
    data-act="fit" data-step="${step.key}" aria-pressed="${Boolean(chosen)}">${chosen ? 'Fitted' : 'Fit'}</button>
${
    step.word === METAL && html`<label class="num-in" data-k="n"><span class="small">Number on the new band</span><input
  type="text" id="fit-${step.key.replace(/ /g, '-')}" data-fit="${step.key}" autocomplete="off" spellcheck="false"
  value="${chosen ? chosen.engraving : number.engraving}"></label>`
  }
${
    shelf.length > 1 && html`<div class="seg sizes" role="group" aria-label="Band from the shelf" data-k="sizes">
  ${
      shelf.map((from) =>
        html`<button type="button" data-act="fit" data-step="${step.key}" data-size="${from.size}"
  data-kind="${from.kind}" aria-pressed="${chosen?.size === from.size && chosen?.kind === from.kind}"
  >${from.kind === 'colour' ? '' : `${from.kind} `}${from.size}</button>`
      )
    }</div>`
  }</li>`;
}

/** The number offered for a metal band: the next one that no other band in this hand has. @param {Hand} hand
 * @param {Bird} bird @param {ToFit} step */
function numberFor(hand, bird, step) {
  const others = [...hand.found.on].filter(([key]) => key !== step.key).map(([, { engraving }]) => engraving);
  return nextNumber(hand.shelf(bird), others);
}

/** A number was read on the band itself. @param {Hand} hand @param {string} key @param {string} number */
export function read(hand, key, number) {
  const { bird } = hand, step = bird && toFit(bird.planned).find((one) => one.key === key);
  if (!bird || !step) return;
  const shelf = hand.shelf(bird), run = shelf.runs.find(({ numbers }) => numbers.includes(number.trim()));
  const before = hand.found.on.get(key) || fittedFrom(step, onTheShelf(shelf, step)[0], numberFor(hand, bird, step));
  hand.found.on.set(key, {
    ...before,
    engraving: number,
    series: run?.series || before.series,
    size: run?.size || before.size,
  });
}

/** @type {Record<string, (hand: Hand, target: HTMLElement) => unknown>} */
export const acts = {
  off: (hand, target) => {
    const id = Number(target.dataset.band), band = hand.bird?.bands.find((one) => one.id === id);
    if (band && !hand.found.off.delete(id)) hand.found.off.set(id, whyPlanned(band));
  },
  fit: (hand, target) => {
    const key = target.dataset.step || '',
      { bird } = hand,
      step = bird && toFit(bird.planned).find((one) => one.key === key);
    if (!bird || !step) return;
    const shelf = onTheShelf(hand.shelf(bird), step), { size, kind } = target.dataset;
    if (size === undefined && hand.found.on.delete(key)) {
      if (!hand.found.on.size && !hand.found.replaced.size) hand.found.fitting.clear();
      return;
    }
    const from = size === undefined ? shelf[0] : shelf.find((one) => one.size === size && one.kind === kind);
    hand.found.on.set(key, fittedFrom(step, from, numberFor(hand, bird, step)));
  },
  fitting: (hand, target) => {
    const word = target.dataset.word || '';
    if (!hand.found.fitting.delete(word)) hand.found.fitting.add(word);
  },
};
