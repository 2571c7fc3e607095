// @ts-check
// The reading: what was seen on the legs or the wings, colour by colour, and who it may be, in any exhibit.

import { chip } from '../shared/band-drawing.js';
import { anySeen } from '../shared/sides.js';
import { percent } from '../shared/words.js';
import { pagePalette } from './page-palette.js';
import { drawn, html } from './markup.js';
import { readingFigure } from './roll-call-figure.js';
import { choices, glyph } from './roll-call-pieces.js';

/** @typedef {import('./who-state.js').Who} Who */

const WHERE = { legs: 'on the legs', tall: 'above the joint', wings: 'on the wings' };
const MOST_BANDS = 4, SHOWN = 8;

/** @param {Who} who */
export function view(who) {
  const answer = who.answer(), forms = who.forms(), look = answer.verdict.lookSite === who.on ? '' : answer.verdict.lookSite;
  return html`${forms.length > 1 && choices({ label: 'Where the bands are', act: 'form', kind: 'species', of: forms.map((form) => ({ value: form, words: WHERE[form] })), chosen: who.form })}
<div class="stage" data-k="stage">${readingFigure({ form: who.form, reading: who.reading, facing: '', active: who.on, look })}<button class="btn clear" type="button" data-act="clear">Start over</button></div>
<p class="say" aria-live="polite" data-k="say">${answer.verdict.say}${answer.verdict.look && html` <span class="look-say">${answer.verdict.look}</span>`}${answer.verdict.quiet && html` <span class="quiet">${answer.verdict.quiet}</span>`}</p>
<div class="read-tiles many" data-k="fits">${fits(who, answer) || html`<p class="await small">${who.banded().length} birds may be asked about. The ones that fit come here.</p>`}</div>
<div class="keyhead" data-k="where"><p><b>${siteWords(who)}</b>, ${(who.reading[who.on] || []).length ? 'next band down' : 'top band'}</p><button type="button" class="btn text" data-act="band-off"${who.reading[who.on] ? '' : drawn(' disabled')}>take one off</button></div>
<div class="keys" data-k="keys">${[...who.colours(), 'metal', '?'].map(bandKey)}</div>
<div class="partrow" data-k="also"><button class="btn" type="button" data-k="bare" data-act="band-bare">whole ${who.limb} seen, bare</button><button class="btn" type="button" data-k="sides" data-act="sides" aria-pressed="${!who.sidesKnown}">side not sure</button><button class="btn" type="button" data-k="visitor" data-act="visitor" aria-pressed="${who.visitor}">a visitor told it</button></div>`;
}

/** @param {Who} who */
function siteWords(who) {
  const [side, part] = who.on.split(' ');
  return part === 'tibia' ? `${side} leg, above the joint` : who.form === 'tall' ? `${side} leg, below the joint` : `${side} ${part}`;
}

/** @param {Who} who @param {ReturnType<Who['answer']>} answer */
function fits(who, answer) {
  if (!anySeen(who.reading)) return null;
  const many = answer.verdict.kind === 'several' ? Math.max(4, Math.min(SHOWN, answer.verdict.several)) : 4;
  return answer.candidates.slice(0, many).map(({ bird, flock, pack, chance }) => html`<button type="button" class="tile" data-k="b${bird.id}" data-act="choose" data-bird="${bird.id}">${glyph(bird, flock.form)}<span class="tile-n">${bird.name}</span><span class="pct">${percent(chance)}</span><span class="small tile-where">${pack.exhibit.name}</span></button>`);
}

/** @param {string} band */
function bandKey(band) {
  const words = band === '?' ? 'not made out' : band;
  return html`<button class="key" type="button" data-k="band ${band}" data-act="band" data-band="${band}"><span class="key-face" aria-hidden="true">${drawn(chip(band, pagePalette()))}</span><span>${words}</span></button>`;
}

/** @type {Record<string, (who: Who, button: HTMLElement) => unknown>} */
export const acts = {
  form: (who, button) => who.choose(/** @type {Who['form']} */ (button.dataset.value)),
  band: (who, button) => {
    const had = who.reading[who.on] || [];
    who.reading = { ...who.reading, [who.on]: [...(had.length >= MOST_BANDS ? [] : had), button.dataset.band || '?'] };
  },
  'band-off': (who) => {
    const { [who.on]: had, ...rest } = who.reading;
    who.reading = had && had.length > 1 ? { ...rest, [who.on]: had.slice(0, -1) } : rest;
  },
  'band-bare': (who) => {
    const side = who.on.split(' ')[0];
    for (const site of who.sites.filter((one) => one.startsWith(side))) who.reading = { ...who.reading, [site]: [] };
  },
  sides: (who) => { who.sidesKnown = !who.sidesKnown; },
  visitor: (who) => { who.visitor = !who.visitor; },
  clear: (who) => { who.choose(who.form); who.sidesKnown = true; },
  choose: (who, button) => {
    who.chosen = Number(button.dataset.bird);
    location.hash = 'bird';
  },
};
