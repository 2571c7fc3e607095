// @ts-check
// Markup from plain values, escaped where it stands, and put on the page without tearing anything down: an element
// that stays the same stays the same node, so that a tap, the focus and a scrolled row survive every drawing.

/** Text that is markup already. */
export class Markup {
  /** @param {string} text */
  constructor(text) {
    this.text = text;
  }
}

const ESCAPES = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

/** @param {unknown} value @returns {string} */
function written(value) {
  if (value instanceof Markup) return value.text;
  if (Array.isArray(value)) return value.map(written).join('');
  if (value === null || value === undefined || value === false) return '';
  return String(value).replace(/[&<>"']/g, (sign) => ESCAPES[/** @type {keyof typeof ESCAPES} */ (sign)]);
}

/** Markup with every value escaped. @param {TemplateStringsArray} strings @param {unknown[]} values
 * @returns {Markup} */
export function html(strings, ...values) {
  return new Markup(strings.reduce((all, piece, i) => {
    const value = values[i - 1];
    // Between the quotes of an attribute false is a word, as in aria-pressed; elsewhere it leaves a piece out.
    return all + (value === false && strings[i - 1].endsWith('="') ? 'false' : written(value)) + piece;
  }));
}

/** Markup that another module drew. @param {string} text @returns {Markup} */
export const drawn = (text) => new Markup(text);

/** Make a host show the markup, keeping every node that can stay. @param {Element} host @param {Markup} markup */
export function patch(host, markup) {
  const wanted = document.createElement('template');
  wanted.innerHTML = markup.text;
  const focused = document.activeElement, place = focused && host.contains(focused) ? above(focused, host) : [];
  children(host, wanted.content);
  if (focused && place.length && (!host.contains(focused) || focused.matches(':disabled'))) comeBack(place);
}

/** What an element stands in, from the nearest to the host. @param {Element} element @param {Element} host
 * @returns {Element[]} */
function above(element, host) {
  const found = [];
  for (let at = element.parentElement; at && element !== host; at = at.parentElement) {
    found.push(at);
    if (at === host) break;
  }
  return found;
}

const TO_PRESS = 'button:not(:disabled), a[href], summary, input[type="checkbox"], input[type="radio"], [tabindex="0"]';

/** What had the focus is gone, or cannot be pressed any more: the nearest key of where it stood takes it, so that
 * whoever uses a keyboard or hears the page goes on from there. No field does, which would open a phone's keyboard.
 * @param {Element[]} place */
function comeBack(place) {
  const host = place[place.length - 1], there = place.filter((one) => host.contains(one));
  const keys = there.flatMap((one) => [...one.querySelectorAll(TO_PRESS)]);
  const next = keys.find((one) => one.checkVisibility({ visibilityProperty: true }));
  if (!next) host.setAttribute('tabindex', '-1');
  /** @type {HTMLElement} */ (next || host).focus({ preventScroll: true });
}

/** @param {Node} node @returns {string} */
const keyOf = (node) => (node instanceof Element && (node.getAttribute('data-k') || node.id)) || '';

/** @param {Node} host @param {Node} wanted */
function children(host, wanted) {
  const wants = [...wanted.childNodes], keys = new Set(wants.map(keyOf));
  /** @type {Map<string, Node>} */
  const keyed = new Map();
  for (const node of [...host.childNodes]) {
    const key = keyOf(node);
    if (key && keys.has(key)) keyed.set(key, node);
    else if (key) host.removeChild(node);
  }
  let at = host.firstChild;
  for (const want of wants) {
    const key = keyOf(want), have = key ? keyed.get(key) : at;
    if (!have || !alike(have, want)) {
      host.insertBefore(want, at);
      continue;
    }
    if (have === at) at = at.nextSibling; else host.insertBefore(have, at);
    same(have, want);
  }
  while (at) {
    const gone = at;
    at = at.nextSibling;
    host.removeChild(gone);
  }
}

/** @param {Node} a @param {Node} b @returns {boolean} */
const alike = (a, b) => a.nodeType === b.nodeType && a.nodeName === b.nodeName && keyOf(a) === keyOf(b);

/** Most elements keep their attributes in one order, with few values that change: those are met first.
 * @param {Element} have @param {Element} want */
function attributes(have, want) {
  const has = have.attributes, wants = want.attributes;
  let alike = has.length === wants.length;
  for (let i = 0; alike && i < wants.length; i += 1) {
    if (has[i].name !== wants[i].name) alike = false;
    else if (has[i].value !== wants[i].value) has[i].value = wants[i].value;
  }
  if (alike) return;
  const unfolded = have instanceof HTMLDetailsElement; // what a thumb has unfolded stays so
  for (const { name } of [...has])
    if (!want.hasAttribute(name) && !(unfolded && name === 'open')) have.removeAttribute(name);
  for (const { name, value } of [...wants]) if (have.getAttribute(name) !== value) have.setAttribute(name, value);
}

/** @param {Node} have @param {Node} want */
function same(have, want) {
  if (!(have instanceof Element) || !(want instanceof Element)) {
    if (have.nodeValue !== want.nodeValue) have.nodeValue = want.nodeValue;
    return;
  }
  attributes(have, want);
  if (have.localName.includes('-')) return; // an element of its own draws its own inside
  if (have instanceof HTMLTextAreaElement || have instanceof HTMLInputElement) { // what is typed stays
    if (have.dataset.live !== undefined && have !== document.activeElement)
      have.value = have.getAttribute('value') || '';
    return;
  }
  children(have, want);
}
