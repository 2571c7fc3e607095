// @ts-check
// Which bird is in hand: from the catch-up's list, or by what is read of its number.

import { momentOf } from '../shared/facts.js';
import { found } from '../shared/in-hand.js';
import { html } from './markup.js';
import { glyph } from './roll-call-pieces.js';

/** @typedef {import('./in-hand-state.js').Hand} Hand */
/** @typedef {import('../shared/in-hand.js').Bird} Bird */

const OUTCOMES = ['not caught', 'let go unhandled'];

/** @param {Hand} hand */
export function view(hand) {
  const fits = found(hand.pack.birds, hand.typed).slice(0, 12);
  return html`${
    hand.refused().map(({ fact, reason }) =>
      html`<div class="prompt" data-k="r${fact.id}"><p>
    <b>${hand.find(Number(fact.bird))?.name || 'A bird'} in hand, ${momentOf(fact.at)}: the server could not take
      it.</b>
    ${reason}</p><div class="pairbtn"><button class="btn first" type="button" data-act="mend" data-fact="${fact.id}"
    data-bird="${fact.bird}">Mend it</button></div></div>
    `
    )
  }<label class="note-in" data-k="typed"><span
    class="small">Number on its metal, the last signs will do; or transponder, or name</span><input class="entry-in"
    id="hand-typed" data-live type="text" inputmode="text" autocomplete="off" spellcheck="false"
    value="${hand.typed}"></label>
${
    !hand.typed && html`<p data-k="photo"><a class="btn" href="#photo">Which bird? By a photograph of its legs</a></p>
  `
  }${
    hand.typed && html`<p class="say" aria-live="polite" data-k="says">
  ${
      fits.length ?
        html`${fits.length === 1 ? 'One bird' : `${fits.length} birds`} <span
  class="quiet">with that.</span>` :
        html`No bird here has that. <span
  class="quiet">Read it again, or type fewer signs.</span>`
    }</p>`
  }
<ul class="picks" data-k="fits">${fits.map((bird) => row(bird, ''))}</ul>
${
    !hand.typed && html`${hand.pack.catch_ups.map((plan) => catchUp(hand, plan))}
<h2 class="ruled" data-k="h-due">Something due in hand</h2><ul class="picks" data-k="due">
  ${hand.pack.birds.filter((bird) => bird.due.length).slice(0, 30).map((bird) => row(bird, bird.due[0].what))}</ul>`
  }
<p class="note" data-k="caution">${hand.pack.cautions.catch}</p>`;
}

/** @param {Hand} hand @param {import('./in-hand-state.js').CatchUp} plan */
function catchUp(hand, plan) {
  const birds = /** @type {Bird[]} */ (plan.birds.map((id) => hand.find(id)).filter(Boolean));
  return html`<h2 class="ruled" data-k="h${plan.id}">Catch-up ${plan.on}, ${plan.exhibit}</h2>
${plan.forbidden.map((why, at) => html`<p class="missing" role="alert" data-k="f${plan.id}-${at}">${why}</p>`)}
  <p class="small" data-k="l${plan.id}">${plan.limits}</p>
${
    plan.kit.length && html`<details data-k="k${plan.id}"><summary>Kit</summary><ul class="kit">
  ${
      plan.kit.map(({ what, beside, short, birds: whose }) =>
        html`<li>
  ${what}${beside && html`, ${short ? html`<b>${beside}: too few</b>` : beside}`}${
          whose.length ?
            html` <span
  class="small">${whose.join(', ')}</span>` :
            ''
        }</li>`
      )
    }</ul></details>`
  }
<ul class="picks" data-k="p${plan.id}">
  ${birds.map((bird) => html`${row(bird, hand.outcome(plan, bird.id) || 'planned')}${missing(hand, plan.id, bird)}`)}
  </ul>`;
}

/** The way to say that a bird was not handled. @param {Hand} hand @param {number} plan @param {Bird} bird */
function missing(hand, plan, bird) {
  const miss = hand.miss && hand.miss.plan === plan && hand.miss.bird === bird.id ? hand.miss : null;
  if (!miss)
    return html`<li data-k="m${plan}-${bird.id}">
    <button class="btn text" type="button" data-act="miss" data-plan="${plan}" data-bird="${bird.id}"
    aria-label="${bird.name} was not handled">Not handled</button></li>`;
  return html`<li class="miss" data-k="m${plan}-${bird.id}">
    <div class="seg" role="group" aria-label="What became of ${bird.name}">
    ${
    OUTCOMES.map((word) =>
      html`<button type="button" data-act="outcome" data-word="${word}"
    aria-pressed="${miss.outcome === word}">${word}</button>`
    )
  }</div>
    <label class="note-in"><span class="small">Why</span><input class="entry-in" id="miss-why" data-live type="text"
    maxlength="200" autocomplete="off" value="${miss.because}"></label><div class="pairbtn">
    <button class="btn first" type="button" data-act="tell-missed">Save</button><button class="btn text" type="button"
    data-act="miss-not">Cancel</button></div></li>`;
}

/** @param {Bird} bird @param {string} beside */
function row(bird, beside) {
  return html`<li data-k="b${bird.id}">
    <button type="button" class="pick" data-k="pick" data-act="take"
    data-bird="${bird.id}">${glyph(/** @type {any} */ (bird), /** @type {any} */ (bird.form))}<span><b
    class="name">${bird.name}</b><span class="small">${bird.exhibit}${bird.engraving && `, ${bird.engraving}`}</span
    >${beside && html`<span class="small">${beside}</span>`}</span></button></li>`;
}

/** @type {Record<string, (hand: Hand, button: HTMLElement) => unknown>} */
export const acts = {
  mend: (hand, button) => {
    hand.mend(button.dataset.fact || '');
    location.hash = `bird-${button.dataset.bird}`;
  },
  miss: (hand, button) => {
    hand.miss = { plan: Number(button.dataset.plan), bird: Number(button.dataset.bird), outcome: '', because: '' };
  },
  outcome: (hand, button) => {
    if (hand.miss) hand.miss.outcome = button.dataset.word || '';
  },
  'miss-not': (hand) => {
    hand.miss = null;
  },
  'tell-missed': (hand) => hand.tellMissed(),
  take: (hand, button) => {
    hand.take(Number(button.dataset.bird));
    location.hash = `bird-${button.dataset.bird}`;
  },
};
