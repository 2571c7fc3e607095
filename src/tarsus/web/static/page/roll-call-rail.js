// @ts-check
// A group in view together, as on a rail: say how many, then left to right what can be read. *They flew* keeps what is
// written; the rest stay counted. No bird is named twice in a group.

import { anySeen } from '../shared/sides.js';
import { namedInGroup, nextPlace } from '../shared/round.js';
import { drawn, html } from './markup.js';
import { plumageRow, sureRow } from './reading-keys.js';
import { glyph, readGlyph } from './roll-call-pieces.js';
import { keptAnswer } from './roll-call-model.js';
import { answerTo, bySightOnly, candidateTiles, legRows, sayLine } from './roll-call-read.js';
import { birdOf } from '../shared/pack.js';
import { counted } from '../shared/words.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('../shared/round.js').Group} Group */
/** @typedef {{id: string, aim: number, size: number}} Desk */

const FIRST_SIZE = 6, MOST = 200, RESUMED_MINUTES = 30;

/** What this phone does with a group now: a new one, or after a reload the one it was in. @param {RollCall} call
 * @returns {Desk} */
function desk(call) {
  if (!call.desk.group) {
    const began = (/** @type {Group} */ group) => Date.now() - Date.parse(group.at) < RESUMED_MINUTES * 60000;
    const left = call.desk.groupDone ? undefined : [...call.state.groups.values()].reverse()
      .find((group) => group.by === call.who && !group.flew && began(group));
    const id = left ? left.id : call.newId();
    if (left) call.place ??= left.place;
    call.desk.group = { id, aim: left ? Math.max(0, nextPlace(left, -1)) : 0, size: left ? left.size : FIRST_SIZE };
  }
  return call.desk.group;
}

/** The group as it stands, kept or not. @param {RollCall} call @returns {Group} */
function groupOf(call) {
  const { id, size } = desk(call);
  return call.state.groups.get(id) ||
    { id, size, flew: false, place: call.place, at: '', by: call.who, positions: new Map() };
}

/** The keys of the group's own fact. @param {RollCall} call @param {boolean} flew
 * @returns {[string, Partial<import('../shared/pack.js').Fact>]} */
function groupFact(call, flew) {
  return ['group', { group: desk(call).id, place: call.place ?? groupOf(call).place, size: groupOf(call).size, flew }];
}

/** The birds named elsewhere in the group. @param {RollCall} call */
const out = (call) => namedInGroup(call.state, desk(call).id, desk(call).aim);

/** @param {RollCall} call */
export function view(call) {
  const group = groupOf(call), { flew } = group;
  return html`<div class="rail-head">${headLine(group)}<div class="stepper small-step">
    <button class="btn" type="button" data-act="group-step" data-value="-1"
    aria-label="One bird less"${flew ? drawn(' disabled') : ''}>−</button><output
    class="num">${group.size}</output><button class="btn" type="button" data-act="group-step" data-value="1"
    aria-label="One bird more"${flew ? drawn(' disabled') : ''}>+</button></div></div>
<ol class="slots${flew ? ' is-frozen' : ''}" data-k="slots" aria-label="From left to right">
  ${Array.from({ length: group.size }, (_, i) => slot(call, group, i))}</ol>
${flew ? frozen(group) : entry(call)}
<div class="deeds two"><button class="btn" type="button" data-k="flew"
  data-act="they-flew"${flew ? drawn(' disabled') : ''}>They flew</button><button class="btn first" type="button"
  data-k="done" data-act="group-done"><span
  class="deed-n">Group done</span><span>save what is written</span></button></div>`;
}

/** @param {Group} group */
function tallied(group) {
  const places = [...group.positions.values()], named = places.filter((fact) => typeof fact.bird === 'number').length;
  return { named, parts: places.length - named, only: group.size - places.length };
}

/** @param {Group} group */
function headLine(group) {
  const { named, parts, only } = tallied(group);
  return group.flew
    ? html`<p class="say">Flown. <span class="quiet">${named} named, ${parts} part, ${only} counted.</span></p>`
    : html`<p class="say">How many? <span class="quiet">Then left to right.</span></p>`;
}

/** @param {Group} group */
function frozen(group) {
  const { named, parts, only } = tallied(group);
  return html`<p class="note" data-k="froze">
    They flew. What is written stays; the rest stay counted: ${group.size} together, ${named} named, ${parts} part
    ${counted('reading', parts)}, ${only} only counted. No bird is named twice in a group.</p>`;
}

/** @param {RollCall} call @param {Group} group @param {number} i */
function slot(call, group, i) {
  const fact = group.positions.get(i),
    found = fact && typeof fact.bird === 'number' ? birdOf(call.pack, fact.bird) : null;
  const aim = !group.flew && i === desk(call).aim;
  const shown = found
    ? html`${glyph(found.bird, found.flock.form)}<span>${found.bird.name}</span>`
    : fact ?
    html`${readGlyph(fact.reading || {}, call.flock.form)}<span>part</span>` :
    html`<span
      class="slot-i num">${i + 1}</span>`;
  return html`<li data-k="slot${i}"><button type="button" class="slot" data-act="slot"
    data-value="${i}"${aim ? drawn(' aria-current="true"') : ''}${group.flew ? drawn(' disabled') : ''}><span
    class="hide">Place ${i + 1}: </span>${shown}</button></li>`;
}

/** @param {RollCall} call */
function entry(call) {
  if (call.flock.form === 'told') return bySightOnly(call);
  const answer = answerTo(call, out(call)), aim = desk(call).aim;
  const fits = candidateTiles(call, answer, 4, 'see-slot');
  const part = html`<button type="button" class="tile tile-part" data-k="part" data-act="slot-part"><span
    class="tile-n">part</span><span class="small">save as read</span></button>`;
  return html`<div class="rail-in" data-k="rail-in">${anySeen(call.reading) && sayLine(answer)}
    <div class="legs one-line" data-k="legs">${legRows(call)}</div><div class="read-tiles" data-k="fits">
    ${
    fits ? html`${fits}${part}` : html`<p class="await small">
    Place ${aim + 1}: one leg, then the bird. Leave empty what you cannot read.</p>`
  }</div>
    ${sureRow(call)}${plumageRow(call, call.flock.birds)}</div>`;
}

/** Write one place of the group; the group's own fact goes with the first. @param {RollCall} call
 * @param {Partial<import('../shared/pack.js').Fact>} keys */
async function fill(call, keys) {
  const { id, aim } = desk(call), before = groupOf(call).positions.get(aim);
  const acts = call.state.groups.has(id) ? [] : [groupFact(call, false)];
  if (before) acts.push(['withdrawn', { corrects: before.id, because: 'read anew' }]);
  acts.push(call.sighting({ group: id, position: aim, reading: call.reading, ...keys }));
  const kept = await call.keep(...acts);
  call.last = kept[kept.length - 1].id;
  call.forget();
}

/** What was read of a place and not yet kept is kept as a part reading before the keeper turns away.
 * @param {RollCall} call */
export async function keepReading(call) {
  if (anySeen(call.reading)) await fill(call, keptAnswer(answerTo(call, out(call))));
}

/** @param {RollCall} call */
function advance(call) {
  const mine = desk(call), next = nextPlace(groupOf(call), mine.aim);
  if (next >= 0) mine.aim = next;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'group-step': async (call, button) => {
    const mine = desk(call),
      group = groupOf(call),
      taken = Math.max(0, ...[...group.positions.keys()].map((i) => i + 1));
    mine.size = Math.max(1, taken, Math.min(MOST, group.size + Number(button.dataset.value)));
    mine.aim = Math.min(mine.aim, mine.size - 1);
    if (call.state.groups.has(mine.id)) await call.keep(['group', { ...groupFact(call, false)[1], size: mine.size }]);
  },
  slot: async (call, button) => {
    await keepReading(call);
    desk(call).aim = Number(button.dataset.value);
  },
  'see-slot': async (call, button) => {
    await fill(call, {
      bird: Number(button.dataset.bird),
      how: 'by reading',
      ...keptAnswer(answerTo(call, out(call))),
    });
    advance(call);
    sound('seen');
  },
  'slot-part': async (call) => {
    await keepReading(call);
    advance(call);
    sound('seen');
  },
  'they-flew': async (call) => {
    await keepReading(call);
    await call.keep(groupFact(call, true));
  },
  'group-done': async (call) => {
    await keepReading(call);
    call.desk.group = null;
    call.desk.groupDone = true;
    call.place = null; // the next birds on a rail are on another one
  },
};
