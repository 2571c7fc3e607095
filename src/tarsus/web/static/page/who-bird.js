// @ts-check
// The bird that it probably is: what is on record, and the deed: a casual sighting, or a report with several still
// open.

import { clockOf } from '../shared/facts.js';
import { reportKeys } from '../shared/report.js';
import { anySeen } from '../shared/sides.js';
import { inWords, percent, together, unseenWords } from '../shared/words.js';
import { inWords as marksInWords } from '../shared/band-drawing.js';
import { html } from './markup.js';
import { keptBeside } from './photo-view.js';
import { adviceMark, glyph } from './roll-call-pieces.js';
import { adviceWords } from '../shared/words.js';

/** @typedef {import('./who-state.js').Who} Who */
/** @typedef {import('./who-state.js').Known} Known */
/** @typedef {import('../shared/pack.js').Fact} Fact */

/** @param {Who} who */
export function view(who) {
  const known = who.find(who.chosen),
    answer = who.told(),
    read = anySeen(answer.reading),
    several = read ? answer.candidates.slice(0, together(answer.candidates)) : [];
  const report = who.visitor || (who.pictured && !who.photo.taken.fresh);
  if (!known)
    return html`<p class="say">No bird was chosen.</p><p>
    <a class="btn" href="#read">Back to the reading</a></p>`;
  const chance = answer.candidates.find(({ bird }) => bird.id === known.bird.id)?.chance;
  return html`${card(known, chance)}${
    who.pictured && who.photo.taken.say && html`<p class="note" data-k="taken">
    ${who.photo.taken.say}</p>`
  }${
    !report && html`
<h2 class="ruled" data-k="seen-h">Seen where it belongs</h2>
<div class="what" data-k="places">${
      known.pack.exhibit.places.map(({ id, name }) =>
        html`<button class="btn"
  type="button" data-k="p${id}" data-act="seen-at" data-place="${id}">${name}</button>`
      )
    }<button class="btn"
  type="button" data-k="p-none" data-act="seen-at" data-place="">somewhere in ${known.pack.exhibit.name}</button></div>
  `
  }
<h2 class="ruled" data-k="told-h">${report ? 'Visitor report' : 'Reported elsewhere'}</h2>
<label class="note-in"><span class="small">Who told it, where, when</span><textarea id="report" rows="2"
  maxlength="500"></textarea></label>
<button class="btn" type="button" data-k="report"
  data-act="report">Save the report:
  ${several.length > 1 ? `one of ${inWords(several.length)}` : known.bird.name}</button>
<p class="note">A report asks for a look at ${several.length > 1 ? 'each of them' : 'the bird'} and clears nobody: who
  it was is settled by looking.</p>
<div class="deeds two"><a class="btn" href="#${who.pictured ? 'photo' : read ? 'read' : 'name'}">Back</a><a
  class="btn first" href="/birds/${known.bird.id}/"><span
  class="deed-n">${known.bird.name}</span><span>its whole record</span></a></div>`;
}

/** @param {Known} known @param {number} [chance] */
function card({ bird, flock, pack }, chance) {
  const last = bird.last_seen
    ? `Last seen ${new Date(bird.last_seen.at).toLocaleDateString('en-GB', { day: 'numeric', month: 'long' })}, ${
      clockOf(bird.last_seen.at)
    }, ${bird.last_seen.how}.`
    : 'Not seen here yet.';
  const words = flock.form === 'told'
    ? bird.natural_marks.map(({ text }) => text).join('; ')
    : marksInWords({ marks: bird.marks, flags: bird.flags, form: flock.form });
  return html`<div class="who who-card" data-k="card">${glyph(bird, flock.form)}<div><h2 class="name">
    ${bird.name}${chance !== undefined && html` <span class="pct">${percent(chance)}</span>`}</h2><p class="small">
    ${bird.species}, ${pack.exhibit.name}${bird.engraving && `, ${bird.engraving}`}</p><p class="small">${words}</p>
    <p class="small">${last} ${bird.unseen_days > 0 ? unseenWords(bird) : ''}</p>${adviceMark(adviceWords(bird, false))}
    </div></div>`;
}

/** What every casual sighting says. @param {Known} known @param {Partial<Fact>} keys @returns {Partial<Fact>} */
function casual({ pack, flock }, keys) {
  return {
    round: null,
    exhibit: pack.exhibit.id,
    bird: null,
    lookalike: flock.lookalike,
    how: null,
    reading: null,
    candidates: [],
    none_of_these: null,
    group: null,
    position: null,
    place: null,
    ...keys,
  };
}

/** @param {Who} who @returns {Partial<Fact>} */
function read(who) {
  const answer = who.told();
  if (!anySeen(answer.reading)) return {};
  return {
    reading: answer.reading,
    none_of_these: answer.noneOfThese,
    candidates: answer.candidates.slice(0, 20).filter(({ chance }) => chance >= 1e-6).map(({ bird, chance }) => ({
      bird: bird.id,
      chance,
    })),
  };
}

/** @type {Record<string, (who: Who, button: HTMLElement) => unknown>} */
export const acts = {
  'seen-at': async (who, button) => {
    const known = who.find(who.chosen);
    if (!known) return;
    if (who.pictured && !who.photo.taken.fresh)
      throw new Error('This picture is not of now any more, so nobody is seen by it. Tell it as a report.');
    const how = anySeen(who.told().reading) ? 'by reading' : 'by sight',
      place = button.dataset.place ? Number(button.dataset.place) : null;
    const seen = who.make(
      'sighting',
      casual(known, { bird: known.bird.id, how, place, ...read(who), ...(who.pictured ? { photographed: true } : {}) }),
    );
    const picture = who.pictured && known.pack.park.pictures_days ? await who.photo.kept(who.photoOf()) : null;
    await who.keep(seen);
    const amiss = picture
      ? await keptBeside(() => who.keep(who.make('photograph', { sighting: seen.id, ...picture })))
      : '';
    done(who, `${known.bird.name} seen, ${how}${who.pictured ? ' in a photograph' : ''}.${amiss && ` ${amiss}`}`);
  },
  report: async (who) => {
    const known = who.find(who.chosen),
      box = /** @type {HTMLTextAreaElement|null} */ (document.getElementById('report'));
    if (!known || !box) return;
    if (!box.value.trim()) {
      who.trouble = 'Report: say who told it, and where the bird was.';
      return;
    }
    const answer = who.told(),
      several = anySeen(answer.reading) ? answer.candidates.slice(0, together(answer.candidates)) : [];
    const birds = several.length > 1 ? several.map(({ bird }) => bird.id) : [known.bird.id];
    const { reading = null } = read(who);
    await who.keep(
      who.make(
        'report',
        reportKeys({
          said: box.value,
          birds,
          reading,
          candidates: answer.candidates,
          noneOfThese: reading && answer.noneOfThese,
        }),
      ),
    );
    done(who, `Report saved: ${birds.length > 1 ? `one of ${inWords(birds.length)}` : known.bird.name}.`);
  },
};

/** @param {Who} who @param {string} said */
function done(who, said) {
  who.said = said;
  who.chosen = null;
  if (who.pictured) who.photo.clear(); else who.choose();
  location.hash = who.pictured ? 'photo' : 'read';
}
