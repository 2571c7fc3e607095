// @ts-check
// Second look: the likeliest places first, for the birds that nobody saw; and who was only inferred.

import { clockOf } from '../shared/facts.js';
import { percent, capital, unseenWords } from '../shared/words.js';
import { birdOf } from '../shared/pack.js';
import { html } from './markup.js';
import { adviceMark, glyph } from './roll-call-pieces.js';
import { figures, lacking, closing } from './roll-call-close.js';
import { inferredBirds } from './roll-call-inferred.js';
import { wherePlaces } from '../shared/where.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */
/** @typedef {import('./roll-call-close.js').Lacking} Lacking */

/** @param {RollCall} call @param {number} bird @returns {Set<number>} places where it was looked for in vain in this round */
function lookedAt(call, bird) { return (call.desk.notThere ||= new Map()).get(bird) || new Set(); }

/** @param {RollCall} call */
export function view(call) {
  const f = figures(call, call.flock), left = lacking(call, call.flock), open = left.filter((one) => !one.inferred);
  const counted = f.counted === null ? 'Not counted.' : `Counted ${f.counted}.`;
  return html`<div class="line open" data-k="open"><p><span class="big num">${f.seen}</span><br><span class="small">of ${f.roll} seen</span></p><div><p class="lead">${counted} ${f.inferred} inferred, ${f.unseen} unseen${f.short && f.short > 0 ? `: ${f.short} missing` : ''}.</p>${missingLine(left, f.short ?? 0)}</div></div>
<div class="line head" data-k="head"><span class="tag">its marks</span><h2>${f.short && f.short > 0 ? 'Look now' : 'Look again'}</h2></div>
<ul data-k="looks">${open.map((one) => look(call, one))}</ul>${!open.length && html`<p class="note" data-k="none">Nobody is unseen.</p>`}
${inferredPart(call)}
<div class="closing" data-k="closing"><button class="btn first" type="button" data-act="close-round">Close the round: ${closing(call)}</button><p class="small">Closing never hides a bird: a bird on <em>Search</em> stays there until it is seen. An inferred bird tells where to look; it is not yet a seen one.</p></div>`;
}

/** @param {Lacking[]} left @param {number} short */
function missingLine(left, short) {
  if (short !== 1) return html`<p class="small">${short > 1 ? `${capital(String(short))} are missing among these.` : 'The count says that all are here.'}</p>`;
  const by = [...left].sort((a, b) => b.missing - a.missing).slice(0, 4);
  return html`<p class="small">The missing bird: ${by.map((one, i) => html`${i ? ', ' : ''}${one.bird.name} <span class="pct">${percent(one.missing)}</span>`)}.</p>`;
}

/** @param {RollCall} call @param {Lacking} one */
function look(call, { bird, advice }) {
  const places = wherePlaces(bird, call.pack.exhibit.places, lookedAt(call, bird.id));
  const usual = bird.usual ? ` Seen in ${Math.round(bird.usual * 100)} of 100 ordinary rounds.` : '';
  const limit = bird.unseen_days >= bird.max_unseen_days ? ', the limit for its kind' : '';
  return html`<li class="line row top-align" data-k="s${bird.id}"><span class="stackcol">${glyph(bird, call.flock.form)}</span><div><div class="split"><h3 class="name">${bird.name}</h3>${adviceMark(advice)}</div><p class="small">${capital(unseenWords(bird))}${limit}.${usual}${bird.looks_needed ? ` ${capital(String(bird.looks_needed))} more looks would settle it.` : ''}</p><ul class="places">${places.map(({ name, share }) => html`<li data-k="p${name}"><meter class="bar" min="0" max="1" value="${share.toFixed(3)}" aria-hidden="true"></meter><span class="bar-l">${name}</span><span class="pct">${percent(share)}</span></li>`)}</ul><div class="pairbtn"><button class="btn first" type="button" data-act="look-seen" data-bird="${bird.id}" data-place="${places[0]?.id ?? ''}">Seen<span class="hide">: ${bird.name}</span></button><button class="btn" type="button" data-act="look-not-there" data-bird="${bird.id}" data-place="${places[0]?.id ?? ''}"${places[0]?.id ? '' : html` disabled`}>Not there<span class="hide">: ${bird.name}</span></button></div></div></li>`;
}

/** @param {RollCall} call */
function inferredPart(call) {
  const rows = [...inferredBirds(call, call.flock)].map(([id, { chance, fact }]) => ({ found: birdOf(call.pack, id), chance, fact })).filter(({ found }) => found);
  if (!rows.length) return '';
  return html`<div class="line head" data-k="ihead"><span class="tag">its marks</span><h2>Inferred</h2></div><ul data-k="inferred">${rows.map(({ found, chance, fact }) => found && html`<li class="line row" data-k="i${found.bird.id}"><span>${glyph(found.bird, found.flock.form)}</span><div class="split"><div><h3 class="name">${found.bird.name}</h3><p class="small">part reading, ${clockOf(fact.at)}</p></div><span class="pct">${percent(chance)}</span></div></li>`)}</ul>`;
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  'look-seen': async (call, button) => {
    const place = button.dataset.place ? Number(button.dataset.place) : null;
    await call.see({ bird: Number(button.dataset.bird), how: 'by sight', place });
    sound('seen');
  },
  'look-not-there': (call, button) => {
    const bird = Number(button.dataset.bird), places = new Set(lookedAt(call, bird));
    places.add(Number(button.dataset.place));
    call.desk.notThere.set(bird, places);
  },
};
