// @ts-check
// Second look: the likeliest places first, for the birds that nobody saw; and who was only inferred.

import { clockOf } from '../shared/facts.js';
import { notListed } from '../shared/second-look.js';
import { percent, capital, counted, inWords, unseenWords } from '../shared/words.js';
import { birdOf } from '../shared/pack.js';
import { drawn, html } from './markup.js';
import { adviceMark, glyph } from './roll-call-pieces.js';
import { closeDeed, comes, figures, groups, isCalled, notCalledHere } from './roll-call-close.js';
import { inferredBirds } from './roll-call-inferred.js';
import { planDrawing } from '../shared/plan-drawing.js';
import { minutesTold, searchWalk, walkTold } from '../shared/search-walk.js';
import { leftPlaces, wherePlaces } from '../shared/where.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('./roll-call-close.js').Lacking} Lacking */

/** @param {RollCall} call @param {number} bird
 * @returns {Set<number>} places where it was looked for in vain in this round */
function lookedAt(call, bird) {
  return (call.desk.notThere ||= new Map()).get(bird) || new Set();
}

/** @param {RollCall} call */
export function view(call) {
  return html`${isCalled(call, call.flock) ? looks(call) : notCalledHere(call)}
<div class="closing" data-k="closing">${groups(call)}<div class="deeds two">
  <a class="btn" href="#close">Back</a>${closeDeed(call)}</div><p class="small">
  Closing never hides a bird: a bird on <em>Search</em> stays there until it is seen.</p></div>`;
}

/** @param {RollCall} call */
function looks(call) {
  const f = figures(call, call.flock),
    { unseen, amiss, say } = comes(call, call.flock),
    needed = unseen.filter((one) => one.needed);
  const rest = unseen.filter((one) => !one.needed && !one.inferred),
    excused = rest.filter(({ bird }) => bird.excused).length;
  return html`<div class="line open" data-k="open"><p>
    <span class="big num">${f.seen}</span><br><span class="small">of ${f.roll} seen</span></p>
    <p class="${amiss ? 'missing' : 'small'}" data-k="says">${say}</p></div>
<div class="line head" data-k="head"><span class="tag">its marks</span><h2>${amiss ? 'Look now' : 'Look again'}
  </h2></div>
${walkPart(call)}
<ul data-k="looks">${needed.map((one) => look(call, one))}</ul>${
    !needed.length && html`<p class="note" data-k="none">
  Nobody needs a second look.</p>`
  }<p class="small" data-k="rest">${notListed(rest.length - excused, excused)}</p>
${inferredPart(call)}`;
}

/** Where all who need a look may be, on the plan, in the order to look; of every group that was called.
 * @param {RollCall} call */
function walkPart(call) {
  const { plan, exhibit, flocks } = call.pack,
    asked = plan
      ? flocks.filter((flock) => isCalled(call, flock)).flatMap((flock) => comes(call, flock).unseen).filter((one) =>
        one.needed
      )
      : [];
  if (!plan || !asked.length) return '';
  const names = new Map(exhibit.places.map(({ id, name }) => [id, name])),
    birds = new Map(asked.map(({ bird }) => [bird.id, bird.name]));
  const steps = searchWalk(
    plan.pins,
    plan,
    asked.map(({ bird }) => ({
      bird: bird.id,
      found: bird.still_here * (bird.usual ?? 1),
      places: leftPlaces(bird, lookedAt(call, bird.id)),
    })),
  );
  const told = walkTold(steps.at(-1)?.by ?? 0, steps.reduce((sum, { expected }) => sum + expected, 0), [
    ...birds.values(),
  ]);
  return html`<details class="plan-look" data-k="plan"><summary>
    <b>Search in this order</b> <span class="small"
    >${steps.map(({ place }, n) => `${n + 1} ${names.get(place)}`).join(', ') || told}</span></summary>
<div data-k="drawn">${drawn(planDrawing(plan, { steps, names, birds, exhibit: exhibit.name }))}</div>
<ol class="walk-list" data-k="walk">${
    steps.map((step, n) =>
      html`<li class="line walk-row" data-k="w${step.place}">
  <span class="walk-n"><span class="walk num">${n + 1}</span><span><b
  class="min num">${minutesTold(step.minutes)}</b> <span class="small">min</span></span></span><div class="split"><div>
  <h3 class="name">${names.get(step.place)}</h3><p class="small num">
  ${step.likely.map(([bird, share]) => `${birds.get(bird)} ${percent(share)}`).join(' · ')}</p></div>
  <span class="small num">by ${minutesTold(step.by)} min</span></div></li>`
    )
  }</ol><p class="small num" data-k="told">
  ${told}</p></details>`;
}

/** The place of a bird that was tapped in this look. @param {RollCall} call @param {number} bird
 * @returns {number|null} */
const tapped = (call, bird) => (call.desk.lookAt ||= new Map()).get(bird) ?? null;

/** @param {RollCall} call @param {Lacking} one */
function look(call, { bird, advice }) {
  const places = wherePlaces(bird, call.pack.exhibit.places, lookedAt(call, bird.id)),
    at = tapped(call, bird.id),
    where = call.placeOf(at);
  const limit = bird.unseen_days >= bird.max_unseen_days ? ', the limit for its kind' : '';
  const settle = bird.looks_needed
    ? ` ${capital(inWords(bird.looks_needed))} more ${counted('look', bird.looks_needed)} would settle it.`
    : '';
  return html`<li class="line row top-align" data-k="s${bird.id}">
    <span class="stackcol">${glyph(bird, call.flock.form)}</span><div><div class="split"><h3 class="name">${bird.name}
    </h3>${adviceMark(advice)}</div><p class="small">${capital(unseenWords(bird))}${limit}.${settle}</p>
    <div class="places" role="group" aria-label="Where ${bird.name} may be; none until you say">
    ${places.map((place) => onePlace(bird.id, place, at))}</div><div class="pairbtn">
    <button class="btn first" type="button" data-k="seen" data-act="look-seen" data-bird="${bird.id}">Seen<span
    class="hide">: ${bird.name}</span>${where && html`<span class="small">at ${where}</span>`}</button><button
    class="btn" type="button" data-k="not" data-act="look-not-there"
    data-bird="${bird.id}"${where ? '' : html` disabled`}>Not there<span
    class="hide">: ${bird.name}</span></button></div></div></li>`;
}

/** @param {number} bird @param {{id: number|null, name: string, share: number}} place @param {number|null} at */
function onePlace(bird, { id, name, share }, at) {
  const bar = html`<meter class="bar" min="0" max="1" value="${share.toFixed(3)}" aria-hidden="true"></meter><span
    class="bar-l">${name}</span><span class="pct">${percent(share)}</span>`;
  if (id === null) return html`<p class="place" data-k="pelse">${bar}</p>`;
  return html`<button type="button" class="place" data-k="p${id}" data-act="look-place" data-bird="${bird}"
    data-place="${id}" aria-pressed="${id === at}">${bar}</button>`;
}

/** @param {RollCall} call */
function inferredPart(call) {
  const rows = [...inferredBirds(call, call.flock)].map(([id, { chance, fact }]) => ({
    found: birdOf(call.pack, id),
    chance,
    fact,
  })).filter(({ found }) => found);
  if (!rows.length) return '';
  return html`<div class="line head" data-k="ihead"><span class="tag">its marks</span><h2>Inferred</h2></div>
    <ul data-k="inferred">${
    rows.map(({ found, chance, fact }) =>
      found && html`
    <li class="line row" data-k="i${found.bird.id}">
    <span>${glyph(found.bird, found.flock.form)}</span><div class="split"><div><h3 class="name">${found.bird.name}</h3>
    <p class="small">part reading, ${clockOf(fact.at)}</p></div><span class="pct">${percent(chance)}</span></div></li>
    `
    )
  }</ul>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'look-place': (call, button) => {
    const bird = Number(button.dataset.bird), place = Number(button.dataset.place);
    call.desk.lookAt.set(bird, tapped(call, bird) === place ? null : place);
  },
  'look-seen': async (call, button) => {
    const bird = Number(button.dataset.bird);
    await call.see({ bird, how: 'by sight', place: tapped(call, bird) });
    sound('seen');
  },
  'look-not-there': (call, button) => {
    const bird = Number(button.dataset.bird), place = tapped(call, bird);
    if (place !== null) call.desk.notThere.set(bird, new Set(lookedAt(call, bird)).add(place));
    call.desk.lookAt.delete(bird);
  },
};
