// @ts-check
// Read: every stack worn on the left, every stack worn on the right; the birds that fit, live, with their chance.

import { fittingKeys, mayCarryMore, pressedKey } from '../shared/legkeys.js';
import { isOpen, keyReading } from '../shared/open-leg.js';
import { anySeen, SIDES, whereIs, withSide } from '../shared/sides.js';
import { percent } from '../shared/words.js';
import './leg-keys-element.js';
import { drawn, html } from './markup.js';
import { endTiles, plumageRow, sureRow } from './reading-keys.js';
import { sign, tile } from './roll-call-pieces.js';
import { inRound, lightRead } from './roll-call-light.js';
import { keptAnswer, preparedFlock, whoIsIt } from './roll-call-model.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/sides.js').Side} Side */
/** @typedef {import('./roll-call-model.js').Answer} Answer */

const STANDS =
  /** @type {const} */ ([['left', 'walks left'], ['right', 'walks right'], ['away', 'faces away'], ['me', 'faces me']]);
const MOST_TILES = 14, FEW_TILES = 4;

/** @type {{reading: object|null, state: object|null, out: string, answer: Answer|null}} */
const latest = { reading: null, state: null, out: '', answer: null };

/** The answer to the reading on the screen; asked several times for one drawing, worked out once.
 * @param {RollCall} call @param {Set<number>} [out] @returns {Answer} */
export function answerTo(call, out = new Set()) {
  const { light } = call, without = `${[...out].join()};${call.place};${light?.id}`;
  if (!latest.answer || latest.reading !== call.reading || latest.state !== call.state || latest.out !== without) {
    const answer = whoIsIt(
      call.pack,
      call.flock,
      call.reading,
      out,
      (id) => call.seen(id),
      call.place,
      inRound(call, call.flock),
    );
    Object.assign(latest, { reading: call.reading, state: call.state, out: without, answer });
  }
  return /** @type {Answer} */ (latest.answer);
}

/** @param {RollCall} call */
export function view(call) {
  if (call.flock.form === 'told') return bySightOnly(call);
  const answer = answerTo(call);
  const light = lightRead(call, call.flock);
  return html`${sayLine(answer)}${light && html`<p class="small" data-k="light-read">Read as in ${light}.</p>`}
    <div class="legs" data-k="legs">${legRows(call)}</div>
<div class="read-tiles${answer.verdict.several > FEW_TILES ? ' many' : ''}" data-k="fits">
  ${candidateTiles(call, answer, MOST_TILES, 'see-read') || html`<p class="await small">${waiting(call)}</p>`}</div>
${facingRow(call)}`;
}

/** Nothing to read: what is said of a species without bands. @param {RollCall} call */
export function bySightOnly(call) {
  return html`<p class="say">No ${call.lookalike} wears a band.</p><p class="note">
    They are told by natural marks: use <a href="#tiles">By sight</a>.</p>`;
}

/** @param {RollCall} call */
function waiting(call) {
  const left = call.flock.birds.filter((bird) => bird.counted && !call.seen(bird.id)).length;
  return `${left} not yet seen. One ${
    preparedFlock(call.pack, call.flock).limb
  } is often enough; the birds that fit come here.`;
}

/** @param {Answer} answer */
export function sayLine({ verdict }) {
  return html`<p class="say" aria-live="polite" data-k="say">
    ${verdict.say}${verdict.look && html` <span class="look-say">${verdict.look}</span>`}${
    verdict.quiet && html` <span
    class="quiet">${verdict.quiet}</span>`
  }</p>`;
}

/** @param {RollCall} call */
export function legRows(call) {
  const { keys, limb } = preparedFlock(call.pack, call.flock);
  return SIDES.map((side) => {
    const fits = fittingKeys(keys, side, call.reading), pressed = pressedKey(keys, side, call.reading);
    const where = whereIs(side, call.facing), near = where === 'near' ? ' is-near' : where === 'far' ? ' is-far' : '';
    const bits = keys[side].map((one) => (fits.has(one.key) ? '1' : '0')).join('');
    return html`<div class="legrow${near}" data-k="row-${side}"><p class="legname">
      <i>${side}</i>${where && html`<span>${where}</span>`}</p>
      <leg-keys class="legkeys" side="${side}" limb="${limb}" keys="${JSON.stringify(keys[side].map((one) => one.key))}"
      fits="${bits}" pressed="${keys[side].findIndex((one) => one.key === pressed)}"></leg-keys></div>`;
  });
}

/** The birds that fit. @param {RollCall} call @param {Answer} answer @param {number} most @param {string} act */
export function candidateTiles(call, answer, most, act) {
  if (!anySeen(call.reading)) return null;
  const { kind, several } = answer.verdict;
  const many = kind === 'several' ? Math.max(FEW_TILES, Math.min(several, most)) : FEW_TILES;
  const { keys, looked } = preparedFlock(call.pack, call.flock);
  const open = SIDES.filter((side) =>
    isOpen(call.reading, side, looked.sites) && mayCarryMore(keys, side, call.reading)
  );
  return [
    ...endTiles(open, looked.limb),
    ...answer.candidates.slice(0, many).map(({ bird, chance }) =>
      tile({
        bird,
        form: call.flock.form,
        act,
        seen: call.seen(bird.id),
        doubtful: call.doubtful(bird.id),
        once: call.readOnce(bird.id),
        chance: percent(chance),
        facing: call.facing,
      })
    ),
  ];
}

/** @param {RollCall} call */
function facingRow(call) {
  return html`<div class="stands" data-k="stands">
    <div class="seg facing" role="group" aria-label="How this bird stands; none until you say" data-k="facing">
    ${
    STANDS.map(([value, words]) =>
      html`<button type="button" data-k="${value}" data-act="facing"
    data-value="${value}" aria-pressed="${call.facing === value}">${sign(words)}<span>${words}</span></button>`
    )
  }</div>
    ${sureRow(call)}</div>${plumageRow(call, call.flock.birds)}`;
}

/** The row under the strip: the part reading, colour by colour, a concern about one of several.
 * @param {RollCall} call @param {{byColour: boolean}} with_ */
export function partRow(call, { byColour }) {
  const read = anySeen(call.reading), several = read && answerTo(call).verdict.several <= FEW_TILES;
  return html`<div class="partrow" data-k="partrow">
    <button class="btn" type="button" data-k="part"
    data-act="keep-part"${read ? '' : drawn(' disabled')}>Save part reading</button>${
    byColour && html`<a class="btn"
    data-k="colours" href="#colours">Colour by colour</a>`
  }<a class="btn" data-k="photo" href="#photo">Picture<span
    class="hide"> of its legs</span></a><button class="btn oneof" type="button" data-k="oneof"
    data-act="concern-one-of"${several ? '' : drawn(' disabled')}>Concern: one of these</button></div>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'leg-key': (call, button) => {
    const side = /** @type {Side} */ (button.dataset.side), stack = button.dataset.stack || '';
    const { keys, looked } = preparedFlock(call.pack, call.flock),
      again = pressedKey(keys, side, call.reading) === stack;
    call.reading = again
      ? withSide(call.reading, side)
      : withSide(call.reading, side, keyReading(stack, side, looked.whole));
  },
  facing: (call, button) => {
    const value = /** @type {RollCall['facing']} */ (button.dataset.value);
    call.facing = call.facing === value ? '' : value;
  },
  'see-read': async (call, button) => {
    const bird = Number(button.dataset.bird), answer = answerTo(call);
    await call.see({ bird, how: 'by reading', reading: call.reading, ...keptAnswer(answer) });
    call.forget();
    sound('seen');
  },
  'keep-part': async (call) => {
    await call.see({ reading: call.reading, ...keptAnswer(answerTo(call)) });
    call.forget();
    sound('seen');
  },
};
