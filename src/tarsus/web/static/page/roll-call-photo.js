// @ts-check
// A photograph in a roll call: who of this flock it shows. Only a picture of now names anybody.

import { usualFactors } from '../shared/places.js';
import { percent } from '../shared/words.js';
import { html } from './markup.js';
import { keptBeside, photoActs, photoAnswer, photoView } from './photo-view.js';
import { keptAnswer, preparedFlock } from './roll-call-model.js';
import { tile } from './roll-call-pieces.js';
import { sound } from './sound.js';

/** @typedef {import('./roll-call-state.js').RollCall} RollCall */

const FEW = 4, MANY = 8;

/** Whose legs it may show. @param {RollCall} call @returns {import('./photo-desk.js').PhotoOf} */
export function photoOf(call) {
  const { pack, flock, place } = call,
    { looked } = preparedFlock(pack, flock),
    { palette, faded = {}, camera } = pack.park;
  return {
    ...looked,
    birds: flock.birds,
    palette,
    faded,
    camera,
    reader: pack.reader,
    strangers: pack.strangers,
    kind: flock.lookalike,
    keeps: pack.park.pictures_days || 0,
    factors: usualFactors(flock.birds, place, new Date(), pack.park.zone),
    asked: `${flock.lookalike};${place};${pack.version}`,
  };
}

/** @param {RollCall} call */
export function view(call) {
  if (call.flock.form === 'told')
    return html`<p class="say">No ${call.lookalike} wears a band.</p><p class="note">
    They are told by natural marks: use <a href="#tiles">By sight</a>.</p>`;
  const { fresh } = call.photo.taken;
  return photoView(call.photo, photoOf(call), ({ candidates, verdict }) => {
    const many = verdict.kind === 'several' ? Math.max(FEW, Math.min(MANY, verdict.several)) : FEW;
    return candidates.slice(0, many).map(({ bird, chance }) =>
      tile({
        bird,
        form: call.flock.form,
        act: fresh ? 'see-photo' : 'photo-old',
        seen: call.seen(bird.id),
        doubtful: call.doubtful(bird.id),
        once: call.readOnce(bird.id),
        chance: percent(chance),
      })
    );
  });
}

/** @type {Record<string, (call: RollCall, button: HTMLElement) => unknown>} */
export const acts = {
  ...photoActs((/** @type {RollCall} */ call) => ({ desk: call.photo, of: photoOf(call) })),
  'see-photo': async (call, button) => {
    const answer = photoAnswer(call.photo, photoOf(call));
    if (!answer) return undefined;
    if (!call.photo.taken.fresh) return acts['photo-old'](call, button); // it lay here since the tile was drawn
    const kept = call.pack.park.pictures_days ? await call.photo.kept(photoOf(call)) : null;
    const seen = await call.see({
      bird: Number(button.dataset.bird),
      how: 'by reading',
      reading: answer.reading,
      photographed: true,
      ...keptAnswer(answer),
    });
    if (kept)
      call.notice = (await keptBeside(() => call.keep(['photograph', { sighting: seen.id, ...kept }]))) || call.notice;
    call.photo.clear();
    return sound('seen');
  },
  'photo-old': () => {
    throw new Error('This picture is not of now, so nobody is seen by it. Tell it as a report in Who is it?');
  },
};
