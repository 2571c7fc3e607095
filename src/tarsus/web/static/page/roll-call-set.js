// @ts-check
// Set: light, thumb, sound; who is looking; other phones; the paper sheet; what is kept here and could not be said.

import { clockOf } from '../shared/facts.js';
import { html } from './markup.js';
import { lightRow } from './light-row.js';
import { choices } from './roll-call-pieces.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

/** @param {string} key @returns {string} */
function onPhone(key) {
  try {
    return localStorage.getItem(key) || '';
  } catch {
    return '';
  }
}

/** @param {string} key @param {string} value */
function setOnPhone(key, value) {
  try {
    if (value) localStorage.setItem(key, value); else localStorage.removeItem(key);
  } catch { /* private browsing: the choice lasts as long as the page */ }
}

export const soundOn = () => onPhone('tarsus-sound') !== 'off';

const of = (/** @type {string[]} */ words) => words.map((word) => ({ value: word, words: word }));

/** @param {RollCall} call */
export function view(call) {
  const count = call.state.counts.get(call.lookalike), here = call.kept.here();
  return html`<h2 class="ruled">This phone</h2>
${
    row(
      'Light',
      'sun: black on white, heavier lines',
      choices({
        label: 'Light',
        act: 'set-scheme',
        of: of(['light', 'sun', 'dark']),
        chosen: onPhone('tarsus-scheme'),
      }),
    )
  }
${
    row(
      'Thumb',
      'mirrors the bottom row, not the birds',
      choices({
        label: 'Thumb',
        act: 'set-hand',
        of: of(['left', 'right']),
        chosen: onPhone('tarsus-hand') || 'right',
      }),
    )
  }
${
    row(
      'Sound at each name',
      'one for seen, two for undone',
      choices({ label: 'Sound', act: 'set-sound', of: of(['on', 'off']), chosen: soundOn() ? 'on' : 'off' }),
    )
  }
<h2 class="ruled">This roll call</h2>
${
    row(
      'Who is looking',
      holding(call),
      html`<select class="btn" id="who-looks"
  aria-label="Who is looking">${
        call.pack.people.map(({ id, name }) =>
          html`<option
  value="${id}"${id === call.who ? html` selected` : ''}>${name}</option>`
        )
      }</select>`,
    )
  }
${row('Light on the birds', 'readings are weighed by it', lightRow(call.light))}
${row('Other phones', others(call), '')}
${row('From the paper sheet', 'type in its ticks, as one round', html`<a class="btn" href="#ticks">Type in</a>`)}
${
    row(
      'Learn the flock',
      'practise on drawings; your answers stay on this phone',
      html`<a class="btn"
  href="/exhibits/${call.pack.exhibit.id}/practice/">Practise</a>`,
    )
  }
${
    row(
      'A death, a move, a health check',
      'recorded without signal too',
      html`<a class="btn"
  href="/tell/#exhibit=${call.pack.exhibit.id}">Record</a>`,
    )
  }
${
    row(
      'Count again',
      !count ? 'not counted yet' : count.differ ? 'two counts that differ' : `${count.counted} at ${clockOf(count.at)}`,
      html`<a
  class="btn" href="#count">Count</a>`,
    )
  }
<h2 class="ruled">Kept here</h2>
${
    row(
      `${here.kept} kept on this phone`,
      here.kept ? 'sent when it finds a signal' : 'all of it is with the server',
      html`<button
  class="btn" type="button" data-act="set-export"${here.kept ? '' : html` disabled`}>To a file</button>`,
    )
  }
${
    here.refused > 0 && row(
      `${here.refused} to mend`,
      'the server could not take them as they are',
      html`<a class="btn"
  href="#mend">Mend</a>`,
    )
  }
${
    row(
      'The flock',
      `as of ${
        new Date(call.pack.made_at).toLocaleString('en-GB', { weekday: 'short', hour: '2-digit', minute: '2-digit' })
      }`,
      html`<button
  class="btn" type="button" data-act="set-fetch">Fetch</button>`,
    )
  }`;
}

/** @param {string} title @param {unknown} small @param {unknown} control */
function row(title, small, control) {
  return html`<div class="setrow" data-k="${title.replace(/\d+ /, '')}"><p>
    <b>${title}</b><span class="small">${small}</span></p>${control}</div>`;
}

/** @param {RollCall} call @returns {string} */
function holding(call) {
  if (call.pack.people.length < 2) return 'whoever is signed in';
  return call.who === call.pack.person.id
    ? 'a shared phone: whoever takes it types their PIN'
    : `sent from ${call.pack.person.name}’s session`;
}

/** @param {RollCall} call @returns {string} */
function others(call) {
  const by = new Map();
  for (const fact of call.state.sightings) if (!call.own.has(fact.id)) by.set(fact.by, (by.get(fact.by) || 0) + 1);
  if (!by.size) return 'sign in on another phone and call this exhibit there: both add up';
  return `${[...by].map(([person, n]) => `${call.personOf(person)} has told of ${n}`).join('; ')}; all add up`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'set-scheme': (_, button) => {
    setOnPhone('tarsus-scheme', button.dataset.value || '');
    document.documentElement.dataset.scheme = button.dataset.value;
    dispatchEvent(new Event('tarsus-scheme'));
  },
  'set-hand': (_, button) => {
    const left = button.dataset.value === 'left';
    setOnPhone('tarsus-hand', left ? 'left' : '');
    if (left) document.documentElement.dataset.hand = 'left'; else delete document.documentElement.dataset.hand;
    dispatchEvent(new Event('tarsus-scheme'));
  },
  'set-sound': (_, button) => setOnPhone('tarsus-sound', button.dataset.value === 'off' ? 'off' : ''),
  'set-export': (call) => {
    const link = document.createElement('a');
    link.href = URL.createObjectURL(call.kept.file());
    link.download = `kept-on-this-phone-${new Date().toISOString().slice(0, 16).replace(':', '')}.json`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 60000);
  },
};
