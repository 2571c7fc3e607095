// @ts-check
// What stands around every state of the roll call: the tally, the species, the strip with undo, the ways to name a
// bird.

import { clockOf, momentOf } from '../shared/facts.js';
import { chanceOf, clears } from '../shared/naming.js';
import { capital, inWords, percent } from '../shared/words.js';
import { badgeWords } from '../shared/outbox.js';
import { birdOf } from '../shared/pack.js';
import { stillOpen } from '../shared/report.js';
import { READ_ONCE } from '../shared/second-look.js';
import { drawn, html } from './markup.js';
import { choices, sign } from './roll-call-pieces.js';
import { figures } from './roll-call-close.js';
import { keepReading } from './roll-call-rail.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

const WAYS =
  /** @type {const} */ ([['tiles', 'sight', 'By sight'], ['read', 'reading', 'Read'], ['rail', 'rail', 'Group'], [
    'close',
    'close',
    'Close',
  ], ['set', 'set', 'Set']]);
const WITH_STRIP = new Set(['tiles', 'read', 'colours', 'photo']);
// Everywhere where what is shown or asked is of one species.
const WITH_SPECIES = new Set([
  'count',
  'tiles',
  'read',
  'photo',
  'rail',
  'close',
  'second-look',
  'not-done',
  'ticks',
]);
const WITHOUT_WAYS = new Set(['count', 'concern', 'not-done', 'colours', 'ticks', 'mend', 'place', 'closed']);
const WITH_REPORTS = new Set(['count', 'tiles', 'second-look']);
const WITHOUT_TALLY = new Set(['colours', 'photo', 'mend', 'place', 'closed', 'set']);

/** @param {RollCall} call @param {string} at */
export function above(call, at) {
  return html`${!WITHOUT_TALLY.has(at) && tally(call, at)}${
    call.pack.flocks.length > 1 && WITH_SPECIES.has(at) && species(call, at)
  }${WITH_REPORTS.has(at) && visitors(call)}`;
}

/** @param {RollCall} call @param {string} at */
export function below(call, at) {
  return html`${WITH_STRIP.has(at) && strip(call)}`;
}

/** @param {RollCall} call @param {string} at */
function tally(call, at) {
  const f = figures(call, call.flock), of = f.counted ?? f.expected;
  const short = f.short === null || f.short === 0
    ? ''
    : f.short > 0
    ? `, ${inWords(f.short)} short`
    : `, ${inWords(-f.short)} more than the roll`;
  const words = at === 'count' ? html`<b>${f.expected}</b> on the roll` : html`<b>${f.seen}</b> of
    ${of}${short && html`<span class="short">${short}</span>`}${
    f.differ && html`<span
    class="short">, counts differ</span>`
  }${
    f.doubtful > 0 && html`, ${inWords(f.doubtful)}
    doubtful`
  }${f.counted === null && html`, <a href="#count">not counted</a>`}`;
  return html`<div class="call-tally" data-k="tally"><p class="num">${words}</p>
    <tally-rule of="${f.roll}" seen="${f.seen}" inferred="${f.inferred}"></tally-rule></div>`;
}

/** @param {RollCall} call @param {string} at */
function species(call, at) {
  const left = (/** @type {import('../shared/pack.js').Flock} */ flock) => {
    const f = figures(call, flock);
    return at === 'count' ? f.expected : ['close', 'second-look'].includes(at) ? f.unseen : f.roll - f.seen;
  };
  const of = call.pack.flocks.map((flock) => ({
    value: flock.lookalike,
    words: html`${flock.lookalike} <b
    class="num">${left(flock)}</b>`,
  }));
  return choices({ label: 'Species', act: 'species', kind: 'species', of, chosen: call.lookalike });
}

/** What visitors told of this exhibit and nobody has looked into yet: it prompts a look and clears nobody.
 * @param {RollCall} call */
function visitors(call) {
  const open = stillOpen(
    call.pack.reports || [],
    (bird) => (call.seen(bird) ? call.state.seen.get(bird)?.at ?? null : null),
  );
  return open.length > 0 && html`<ul class="visitors" data-k="visitors">
    ${
    open.map(({ id, at, told_by: by, said, birds }) =>
      html`<li data-k="v${id}">
    <b>${capital(by === 'a visitor' ? 'visitor' : by)}:</b> ${said} <span
    class="small">(${momentOf(at)}${
        birds.length > 0 && html`,
    ${birds.map((bird) => call.nameOf(bird)).join(' or ')}`
      })</span>, look</li>`
    )
  }</ul>`;
}

/** @param {RollCall} call */
function strip(call) {
  const fact = call.lastSighting,
    name = fact ? (typeof fact.bird === 'number' ? call.nameOf(fact.bird) : 'Part reading') : 'Nobody yet';
  const who = fact && fact.by !== call.who ? `, ${call.personOf(fact.by)}` : '';
  const says = fact
    ? `${clockOf(fact.at)}${
      [howSaid(call, fact), call.placeOf(fact.place)].filter(Boolean).map((word) => `, ${word}`).join('')
    }${who}`
    : 'tap the bird you know';
  const off = fact && call.own.has(fact.id) ? '' : drawn(' disabled'), no = fact ? '' : drawn(' disabled');
  const bird = fact && typeof fact.bird === 'number' ? birdOf(call.pack, fact.bird)?.bird : null,
    vet = (bird?.cases || []).filter((one) => one.do);
  return html`${
    vet.map((one) =>
      html`<p class="vet-asks" data-k="vet${one.case}">
    <b>The vet, ${one.about}:</b> ${one.do}</p>`
    )
  }<div class="strip" data-k="strip">
    <button class="btn undo" type="button" data-k="undo" data-act="undo"
    aria-label="${fact ? `Undo: ${name}, seen` : 'Undo'}"${off}>${sign('undo')}<span>Undo</span></button><p
    aria-live="assertive"><b>${name}</b><span>${says}</span></p>
    <button class="btn worry" type="button" data-k="worry" data-act="concern"
    aria-label="Concern about ${fact ? name : 'the last bird'}"${no}>${sign('worry')}<span>Concern</span></button></div>
    `;
}

/** How a sighting names its bird, with the chance where that is not sure. @param {RollCall} call
 * @param {import('../shared/pack.js').Fact} fact
 * @returns {string} */
function howSaid(call, fact) {
  if (typeof fact.bird === 'number' && call.readOnce(fact.bird)) return READ_ONCE;
  if (fact.how === 'by reading' && !clears(fact)) return `doubtful, ${percent(chanceOf(fact))}`;
  return fact.photographed ? 'in a photograph' : fact.how || '';
}

/** @param {string} at */
export function ways(at) {
  if (WITHOUT_WAYS.has(at)) return '';
  const here = at === 'second-look' ? 'close' : at === 'photo' ? 'read' : at;
  return html`<nav class="modes" aria-label="Ways to name a bird" data-k="modes">
    ${
    WAYS.map(([state, mark, words]) =>
      html`<a href="#${state}"
    data-k="${state}"${state === here ? drawn(' aria-current="page"') : ''}>${sign(mark)}<span>${words}</span></a>`
    )
  }
    </nav>`;
}

/** @param {RollCall} call @param {{signIn: boolean}} sending */
export function badge(call, sending) {
  const here = call.kept.here(), { n, word, more } = badgeWords(here);
  const where = here.refused || here.aside ? '#mend' : '#set';
  if (sending.signIn && here.kept)
    return html`<a class="badge"
    href="${`/sign-in/?next=${location.pathname}`}">sign in to send</a>`;
  return html`<a class="badge${here.kept ? '' : ' is-sent'}" href="${where}">${
    !here.kept ? '' : html`<svg width="16"
    height="16" viewBox="0 0 16 16" aria-hidden="true"><path d="M2 11V6M6 11V4M10 11V2" stroke="currentColor"
    stroke-width="2" opacity=".45"/><path d="M1 14L15 2" stroke="currentColor"
    stroke-width="2"/></svg>`
  }<span>${n && html`<span class="num">${n}</span> `}${word}${
    more && html`<span
    class="long">${more}</span>`
  }</span></a>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  species: async (call, button) => {
    if (location.hash === '#rail') await keepReading(call);
    call.turnTo(button.dataset.value || call.lookalike);
  },
  undo: async (call) => {
    await call.undo();
    sound('undone');
  },
};
