// @ts-check
// One bird as through the glasses, and the answer on roll call's own keys.

import { ended } from '../shared/open-leg.js';
import { anySeen } from '../shared/sides.js';
import { blurUnits, lightLeaves, shownOf } from '../shared/through-glasses.js';
import { drawn, html } from './markup.js';
import { ownWords } from '../shared/practice-words.js';
import { METRES, SECONDS } from './practice-state.js';
import { preparedFlock, whoIsIt } from './roll-call-model.js';
import { choices, glyph } from './roll-call-pieces.js';
import { candidateTiles, legRows } from './roll-call-read.js';

/** @typedef {import('./practice-state.js').Practice} Practice */

const MOST_TILES = 8;

/** @param {Practice} practice */
export function view(practice) {
  if (practice.birds.length < 2)
    return html`<p class="say">No two birds here wear bands.</p><p class="note">
    Birds told by natural marks are learnt at the exhibit.</p>`;
  if (!practice.bird) return between(practice);
  const call = /** @type {any} */ (practice), answer = whoIsIt(practice.pack, practice.flock, practice.reading);
  return html`${lastWords(practice)}${seenAs(practice)}
<div class="legs" data-k="legs">${legRows(call)}</div>
<div class="read-tiles many" data-k="fits">${
    candidateTiles(call, answer, MOST_TILES, 'practice-name') || html`
  <p class="await small">Tap what you see: the birds that fit come here. Then tap the name.</p>`
  }</div>
<div class="partrow" data-k="row"><button class="btn" type="button" data-k="again"
  data-act="practice-again"${practice.gone ? '' : drawn(' disabled')}>Look again</button><button class="btn"
  type="button" data-k="not" data-act="practice-not">Cannot tell</button></div>`;
}

/** Before the first bird, and after a wrong answer. @param {Practice} practice */
function between(practice) {
  const { last, how } = practice;
  return html`${
    last ? wrong(practice) : html`<p class="say" data-k="lead">
    A bird walks by. Name it on the keys of the roll call.</p><p class="note" data-k="own">${ownWords(practice.shares)}
    </p>`
  }
<div class="setrow" data-k="metres"><p>
  <b>How far</b><span class="small">blurred as for a good eye behind 8 × glasses</span></p>
  ${
    choices({
      label: 'How far',
      act: 'practice-metres',
      of: METRES.map((metres) => ({ value: String(metres), words: `${metres} m` })),
      chosen: String(how.metres),
    })
  }
  </div>
<div class="setrow" data-k="seconds"><p><b>In sight for</b></p>
  ${
    choices({
      label: 'In sight for',
      act: 'practice-seconds',
      of: SECONDS.map((seconds) => ({ value: String(seconds), words: seconds ? `${seconds} s` : 'long' })),
      chosen: String(how.seconds),
    })
  }
  </div>
<div class="setrow" data-k="light"><p><b>Light</b></p>
  ${
    choices({
      label: 'Light',
      act: 'practice-light',
      of: ['any', 'bright', 'dull', 'dusk'].map((word) => ({ value: word, words: word })),
      chosen: how.light,
    })
  }
  </div>
<div class="deeds" data-k="go"><button class="btn first" type="button" data-act="practice-next"><span
  class="deed-n">${last ? 'Next bird' : 'Begin'}</span></button></div>`;
}

/** @param {Practice} practice */
function wrong({ last, flock }) {
  if (!last) return '';
  const both = [last.bird, ...(last.said ? [last.said] : [])];
  return html`<p class="say" role="status" data-k="wrong">
    It was ${last.bird.name}. <span class="quiet"
    >${last.said ? `You said ${last.said.name}: both come again soon.` : 'It comes again soon.'}</span></p>
    <ul class="practice-both" data-k="both">${
    both.map((bird) =>
      html`<li data-k="w${bird.id}">
    ${glyph(bird, flock.form)}<b class="name">${bird.name}</b></li>`
    )
  }</ul>`;
}

/** @param {Practice} practice */
function lastWords({ last }) {
  const said = last?.right ? `Right: ${last.bird.name}.` : '';
  return html`<p class="small practice-last" aria-live="polite" data-k="last">${said}</p>`;
}

/** The bird as it is seen. No words in the drawing: they would name its bands. @param {Practice} practice */
function seenAs({ bird, scene, how, gone, flock, pack }) {
  if (!bird) return '';
  const { looked } = preparedFlock(pack, flock), { brightness, colour } = lightLeaves(scene.light);
  const filter = `blur(calc(${
    blurUnits(how.metres).toFixed(3)
  } * var(--unit))) brightness(${brightness}) saturate(${colour})`;
  return html`<div class="practice-view${scene.grass ? ' is-behind-grass' : ''}${gone ? ' is-gone' : ''}" role="img"
    aria-label="A bird as through the glasses: this practice is for the eye" data-k="view">
    <div aria-hidden="true" data-k="b${bird.id}-${JSON.stringify(scene)}" data-filter="${filter}" class="practice-bird">
    ${
    gone ? '' : html`<band-drawing at="figure" quiet reading form="${flock.form}" facing="${scene.facing}"
    marks="${JSON.stringify(shownOf(bird.marks, looked.sites, scene.hidden))}"></band-drawing>`
  }</div>${
    gone && html`
    <p data-k="gone">Out of sight.</p>`
  }</div>`;
}

/** @type {Record<string, (practice: Practice, button: HTMLElement) => unknown>} */
export const acts = {
  'practice-next': (practice) => practice.next(),
  'practice-name': (practice, button) => practice.answer(Number(button.dataset.bird)),
  'practice-not': (practice) => practice.answer(null),
  'practice-again': (practice) => practice.look(),
  'leg-end': (practice, button) => {
    const { looked } = preparedFlock(practice.pack, practice.flock);
    practice.reading = anySeen(practice.reading)
      ? ended(practice.reading, /** @type {any} */ (button.dataset.side), looked.sites)
      : practice.reading;
  },
  'practice-metres': (practice, button) => {
    practice.how.metres = Number(button.dataset.value);
    return practice.keep();
  },
  'practice-seconds': (practice, button) => {
    practice.how.seconds = Number(button.dataset.value);
    return practice.keep();
  },
  'practice-light': (practice, button) => {
    practice.how.light = button.dataset.value || 'any';
    return practice.keep();
  },
};
