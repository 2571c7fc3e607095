// @ts-check
// The form of a deed on a phone, made from its declaration: what was filled in, as the fields of a fact, or what is
// wrong with it. The server judges again whatever it is told.
// Decision 0044.

import { wrongDay } from './days.js';

/** @typedef
 * {{name: string, kind: string, label: string, required: boolean, longest: number, low: number|null, high: number|null,
 *   first: string|null, ahead: number|null, choices: [string, string][], unit: string, hint: string, initial: any,
 * instead_of: string}} Field */
/** @typedef
 * {{name: string, title: string, fields: Field[], caution: string, when: string, asks_twice: boolean, roles: string[]}}
 * Deed */
/** @typedef {Record<string, string|string[]|boolean|null>} Filled   as a form holds it: text, ticks, yes or no */

const NUMBERS = new Set(['bird', 'exhibit', 'place', 'species', 'case', 'band']);
const SEVERAL = new Set(['birds']);

/** The fields that are asked for, with what the address names already. @param {Deed} deed
 * @param {Record<string, unknown>} named
 * @returns {Field[]} */
export const asked = (deed, named) => deed.fields.filter((field) => !(field.instead_of && named[field.instead_of]));

/**
 * The fields of a fact out of a filled form.
 * @param {Deed} deed @param {Filled} filled @param {Record<string, unknown>} named @param {string} today  as 2026-06-11
 * @returns {{keys: Record<string, any>, wrong: {name: string, says: string}[]}}
 */
export function read(deed, filled, named, today) {
  /** @type {Record<string, any>} */
  const keys = {};
  /** @type {{name: string, says: string}[]} */
  const wrong = [];
  for (const field of asked(deed, named)) {
    const { value, says } = one(field, filled[field.name] ?? null, today);
    if (says) wrong.push({ name: field.name, says: `${field.label}: ${says}` });
    else if (value !== null) keys[field.name] = value;
  }
  const alone = deed.fields.find((field) =>
    field.instead_of && !named[field.instead_of] && !keys[field.instead_of] && !keys[field.name]
  );
  if (alone && !wrong.length)
    wrong.push({ name: alone.name, says: `${alone.label}: choose one, or say which ${alone.instead_of}` });
  return { keys, wrong };
}

/** @param {Field} field @param {string|string[]|boolean|null} said @param {string} today
 * @returns {{value: any, says: string}} */
function one(field, said, today) {
  const good = (/** @type {any} */ value) => ({ value, says: '' }),
    bad = (/** @type {string} */ says) => ({ value: null, says });
  if (field.kind === 'flag') {
    if (field.initial === 'unsaid') return good(said === 'yes' ? true : said === 'no' ? false : null);
    return good(said === true);
  }
  if (Array.isArray(said)) {
    if (!said.length) return field.required ? bad('choose at least one') : good(null);
    return good(SEVERAL.has(field.kind) ? said.map(Number) : said);
  }
  const text = typeof said === 'string' ? said.trim() : '';
  if (!text) return field.required ? bad('is empty') : good(null);
  if (NUMBERS.has(field.kind)) return good(Number(text));
  if (field.kind === 'number' || field.kind === 'whole') return number(field, text);
  const wrong = field.kind === 'day' ? wrongDay(field, text, today) : '';
  if (wrong) return bad(wrong);
  if (field.longest && text.length > field.longest)
    return bad(`has ${text.length} characters; write at most ${field.longest}`);
  return good(text);
}

/** @param {Field} field @param {string} text @returns {{value: number|null, says: string}} */
function number(field, text) {
  const value = Number(text.replace(',', '.'));
  if (!Number.isFinite(value) || (field.kind === 'whole' && !Number.isInteger(value)))
    return { value: null, says: `${text} is no ${field.kind === 'whole' ? 'whole number' : 'number'}` };
  const low = field.low ?? -Infinity, high = field.high ?? Infinity;
  return value < low || value > high
    ? { value: null, says: `write ${low} to ${high}${field.unit ? ` ${field.unit}` : ''}` }
    : { value, says: '' };
}

/** A whole house by one act: who came, and who was meant to and stayed, each with the reason.
 * @param {number[]} all  everybody who was meant to move @param {Map<number, string>} refused  who would not, and why
 * @returns {{came: number[], would_not: {bird: number, why: string}[]}} */
export function house(all, refused) {
  return {
    came: all.filter((id) => !refused.has(id)),
    would_not: all.filter((id) => refused.has(id)).map((bird) => ({ bird, why: refused.get(bird) || '' })),
  };
}
