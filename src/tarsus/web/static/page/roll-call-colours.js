// @ts-check
// Colour by colour, for a stack that nobody here wears: the figure with each site a button, every worn colour in reach,
// look-alikes side by side, a colour not made out, and *bare*, which means that the whole leg was seen.

import { wornColours } from '../shared/legkeys.js';
import { anySeen, SIDES } from '../shared/sides.js';
import { chip } from '../shared/band-drawing.js';
import { pagePalette } from './page-palette.js';
import { drawn, html } from './markup.js';
import { readingFigure } from './roll-call-figure.js';
import { preparedFlock } from './roll-call-model.js';
import { answerTo, candidateTiles, sayLine } from './roll-call-read.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

const MOST_BANDS = 4;

/** The sites of this flock. @param {RollCall} call @returns {string[]} */
function sites(call) {
  const { keys } = preparedFlock(call.pack, call.flock);
  return SIDES.flatMap((side) => keys.parts.map((part) => `${side} ${part}`));
}

/** The site that the next colour goes to: the chosen one, or the first that nothing was said of. @param {RollCall} call */
function onSite(call) {
  const all = sites(call);
  if (all.includes(call.on)) return call.on;
  return [...all].reverse().find((site) => !call.reading[site]) || all[0];
}

/** @param {RollCall} call */
export function view(call) {
  const answer = answerTo(call), on = onSite(call), { hues, keys, limb } = preparedFlock(call.pack, call.flock);
  const look = answer.verdict.lookSite !== on ? answer.verdict.lookSite : '';
  const n = (call.reading[on] || []).length;
  return html`<div class="stage" data-k="stage">${readingFigure({ form: call.flock.form, reading: call.reading, facing: call.facing, active: on, look })}<button class="btn clear" type="button" data-act="read-clear">Start over</button><a class="btn backto" href="#read">${limb === 'wing' ? 'Wing' : 'Leg'} keys</a></div>
${sayLine(answer)}
<div class="read-tiles" data-k="fits">${candidateTiles(call, answer, 4, 'see-read') || html`<p class="await small">The birds that fit come here.</p>`}</div>
<div class="keyhead" data-k="where"><p><b>${siteWords(on, limb, keys.parts.length > 1)}</b>, ${n ? 'next band down' : 'top band'}</p><button type="button" class="btn text" data-act="band-off"${call.reading[on] ? '' : drawn(' disabled')}>take one off</button></div>
<div class="keys" data-k="keys">${[...wornColours(call.flock.birds, hues), 'metal', '?'].map(bandKey)}</div>
<button class="btn bare" type="button" data-k="bare" data-act="band-bare"><span class="cyl is-bare"></span>whole ${limb} seen, bare</button>`;
}

/** @param {string} site @param {string} limb @param {boolean} two @returns {string} */
function siteWords(site, limb, two) {
  const [side, part] = site.split(' ');
  if (limb === 'wing' || !two) return `${side} ${limb}`;
  return `${side} leg ${part === 'tibia' ? 'above' : 'below'} the joint`;
}

/** @param {string} band */
function bandKey(band) {
  const words = band === '?' ? 'not made out' : band;
  return html`<button class="key" type="button" data-k="band ${band}" data-act="band" data-band="${band}"><span class="key-face" aria-hidden="true">${drawn(chip(band, pagePalette()))}</span><span>${words}</span></button>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  band: (call, button) => {
    const on = onSite(call), had = call.reading[on] || [];
    call.on = on;
    call.reading = { ...call.reading, [on]: [...(had.length >= MOST_BANDS ? [] : had), button.dataset.band || '?'] };
  },
  'band-bare': (call) => {
    const side = onSite(call).split(' ')[0];
    for (const site of sites(call).filter((one) => one.startsWith(side))) call.reading = { ...call.reading, [site]: [] };
  },
  'band-off': (call) => {
    const on = onSite(call), had = call.reading[on] || [];
    const { [on]: _, ...rest } = call.reading;
    call.on = on;
    call.reading = had.length > 1 ? { ...rest, [on]: had.slice(0, -1) } : rest;
  },
  'read-clear': (call) => call.forget(),
};

/** A site of the figure was chosen. @param {RollCall} call @param {string} site */
export function chooseSite(call, site) {
  if (sites(call).includes(site)) call.on = site;
}

/** @param {RollCall} call @returns {boolean} */
export const begun = (call) => anySeen(call.reading);
