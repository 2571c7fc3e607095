// @ts-check
// One field of a deed as a form on the phone shows it.

import { asked } from '../shared/deed-form.js';
import { drawn, html } from './markup.js';

/** @typedef {import('./tell-state.js').Tell} Tell */
/** @typedef {import('../shared/deed-form.js').Field} Field */
/** @typedef {import('../shared/deed-form.js').Deed} Deed */
/** @typedef {import('./markup.js').Markup} Markup */

/** @param {Tell} tell @param {Deed} deed @returns {Markup[]} */
export function fields(tell, deed) {
  const { named } = tell;
  return asked(deed, { bird: named.bird }).map((field) => {
    const wrong = tell.wrong.find(({ name }) => name === field.name);
    return html`<div
      class="field${field.kind === 'flag' && field.initial !== 'unsaid' ? ' is-tick' : ''}${wrong ? ' is-refused' : ''}"
      data-k="f-${deed.name}-${field.name}">${one(tell, field)}${
      wrong && html`<p class="refusal" data-k="w">
      ${wrong.says}</p>`
    }</div>`;
  });
}

/** @param {Tell} tell @param {Field} field @returns {Markup} */
function one(tell, field) {
  const { named } = tell, id = `t-${field.name}`, label = `${field.label}${field.unit ? `, ${field.unit}` : ''}`;
  const head = html`<label for="${id}">${label}</label>${field.hint && html`<p class="small">${field.hint}</p>`}`;
  if (field.kind === 'bird')
    return named.bird
      ? known(field, named.bird, tell.bird(named.bird)?.name || '')
      : html`${head}${select(field, tell.birds().map((bird) => [String(bird.id), bird.name]))}`;
  if (field.kind === 'exhibit' && field.name === 'exhibit' && named.exhibit)
    return known(
      field,
      named.exhibit,
      tell.exhibits.find(({ id: key }) => key === named.exhibit)?.name || '',
    );
  if (field.kind === 'exhibit')
    return html`${head}${select(field, tell.exhibits.map((one) => [String(one.id), one.name]))}`;
  if (field.kind === 'case') return html`${head}${select(field, cases(tell), named.case ? String(named.case) : '')}`;
  if (field.kind === 'treatment') return html`${head}${select(field, treatments(tell))}`;
  if (field.kind === 'place')
    return html`${head}${select(field, (tell.pack?.exhibit.places || []).map((one) => [String(one.id), one.name]))}`;
  if (field.kind === 'species') return html`${head}${select(field, kinds(tell))}`;
  if (field.kind === 'birds')
    return ticks(
      field,
      tell.birds().map((bird) => [String(bird.id), bird.name]),
      named.bird ? [String(named.bird)] : [],
    );
  if (field.kind === 'words') return ticks(field, tell.packs[0].concerns.map((word) => [word, word]), []);
  return html`${plain(tell, field, id, head, label)}`;
}

/** @param {Tell} tell @param {Field} field @param {string} id @param {Markup} head @param {string} label
 * @returns {Markup} */
function plain(tell, field, id, head, label) {
  const first = field.initial === 'me' ? tell.writer : field.initial ?? '';
  if (field.kind === 'flag' && field.initial === 'unsaid')
    return html`${head}${select(field, [['yes', 'yes'], ['no', 'no']])}`;
  if (field.kind === 'flag')
    return html`<input type="checkbox" id="${id}"
    name="${field.name}"${first === true ? drawn(' checked') : ''}><label for="${id}">${label}</label>`;
  if (field.kind === 'choice') return html`${head}${select(field, field.choices, String(first))}`;
  if (field.kind === 'text')
    return html`${head}<textarea id="${id}" name="${field.name}" rows="3"
    maxlength="${field.longest}"></textarea>`;
  if (field.kind === 'number' || field.kind === 'whole')
    return html`${head}<input id="${id}" name="${field.name}"
    inputmode="decimal" autocomplete="off" value="${first}">`;
  if (field.kind === 'day') return html`${head}<input id="${id}" name="${field.name}" type="date" value="">`;
  return html`${head}<input id="${id}" name="${field.name}" maxlength="${field.longest}" autocomplete="off"
    value="${first}">`;
}

/** What the address names already. @param {Field} field @param {number} key @param {string} name @returns {Markup} */
const known = (field, key, name) =>
  html`<p>
  <b>${field.label}:</b> ${name}<input type="hidden" name="${field.name}" value="${key}"></p>`;

/** @param {Field} field @param {string[][]} of @param {string} [chosen] @returns {Markup} */
function select(field, of, chosen = '') {
  const none = field.required && chosen ? '' : html`<option value=""
    data-k="none">${field.required ? 'choose' : 'not said'}</option>`;
  return html`<select id="t-${field.name}" name="${field.name}">${none}${
    of.map(([key, words]) =>
      html`<option
    value="${key}" data-k="o${key}"${key === chosen ? drawn(' selected') : ''}>${words}</option>`
    )
  }</select>`;
}

/** @param {Field} field @param {string[][]} of @param {string[]} chosen @returns {Markup} */
function ticks(field, of, chosen) {
  return html`<fieldset class="ticks"><legend>${field.label}</legend><div>
    ${
    of.map(([key, words]) =>
      html`<label data-k="l${key}"><input type="checkbox" name="${field.name}" value="${key}"
    data-several${chosen.includes(key) ? drawn(' checked') : ''}> ${words}</label>`
    )
  }</div></fieldset>`;
}

/** The open cases of the bird, or of everybody there. @param {Tell} tell @returns {string[][]} */
function cases(tell) {
  const { bird } = tell.named, about = bird ? [tell.bird(bird)] : tell.birds();
  /** @type {Map<number, string>} */
  const found = new Map();
  for (const one of about)
    for (const open of one?.cases || [])
      found.set(
        open.case,
        `${one?.name}${open.of > 1 ? `, one of ${open.of}` : ''}: ${open.about}`,
      );
  return [...found].map(([key, words]) => [String(key), words]);
}

/** What goes on of the bird, or of everybody there. @param {Tell} tell @returns {string[][]} */
function treatments(tell) {
  const { bird } = tell.named, about = bird ? [tell.bird(bird)] : tell.birds();
  return about.flatMap((one) => (one?.treatments || []).map((told) => [told.treatment, `${one?.name}: ${told.what}`]));
}

/** The species that live there. @param {Tell} tell @returns {string[][]} */
function kinds(tell) {
  const of = (tell.pack ? [tell.pack] : tell.packs).flatMap(({ flocks }) =>
    flocks.flatMap((flock) => flock.kinds || [])
  );
  return [...new Map(of.map(({ id, name }) => [String(id), name]))];
}
