// @ts-check
// A photograph of a leg, the same on every page that takes a reading: the picture, what was tapped, which leg it is,
// and who the bird may be.

import { chip } from '../shared/band-drawing.js';
import { REMEDIES } from '../shared/photograph.js';
import { mayEnd, mirrored, onOtherLeg, withEnd, withoutTap } from '../shared/photo-taps.js';
import { percent, verdict } from '../shared/words.js';
import { drawn, html } from './markup.js';
import { pagePalette } from './page-palette.js';
import { TRIANGLE } from './roll-call-pieces.js';
import { NotKept } from './store.js';
import './photo-picture-element.js';

/** @typedef {import('./photo-desk.js').PhotoDesk} PhotoDesk */
/** @typedef {import('./photo-desk.js').PhotoOf} PhotoOf */
/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef
 * {{candidates: {bird: Bird, chance: number}[], noneOfThese: number, reading: import('../shared/pack.js').Reading,
 * verdict: import('../shared/words.js').Verdict}} PhotoAnswer */

const LIKELY = 3, TOLD = 0.01;
const WHICH =
  /** @type {const} */ ([['left', 'its left'], ['right', 'its right'], ['me left', 'it faces me, on my left'], [
    'me right',
    'it faces me, on my right',
  ], ['unclear', 'cannot tell']]);
const GRAVE = ['too dark', 'clipped', 'metal burnt out'];

/** Who the bird may be, as a reading is answered; null while nothing was told of any leg.
 * @param {PhotoDesk} desk @param {PhotoOf} of @returns {PhotoAnswer|null} */
export function photoAnswer(desk, of) {
  if (!desk.answer) return null;
  const byId = new Map(of.birds.map((bird) => [bird.id, bird])), { reading, noneOfThese, lookNext } = desk.answer;
  const candidates = desk.answer.candidates.flatMap(({ id, chance }) => {
    const bird = byId.get(id);
    return bird ? [{ bird, chance }] : [];
  });
  return {
    candidates,
    noneOfThese,
    reading,
    verdict: verdict({
      reading,
      candidates,
      noneOfThese,
      lookNext,
      kind: of.kind,
      limb: of.limb,
      twoParts: of.sites.length > 2,
    }),
  };
}

/** Keep a picture beside its sighting, which stands without it: a phone too full for the picture still tells who was
 * seen.
 * @param {() => Promise<unknown>} keep @returns {Promise<string>} what is to be said of it */
export async function keptBeside(keep) {
  try {
    await keep();
    return '';
  } catch (error) {
    if (!(error instanceof NotKept)) throw error;
    return 'This phone has no room for the picture: the sighting is kept without it.';
  }
}

/** @param {PhotoDesk} desk @param {PhotoOf} of @param {(answer: PhotoAnswer) => unknown} tiles  the birds that fit */
export function photoView(desk, of, tiles) {
  if (!desk.picture) return taking(desk, of);
  desk.ask(of);
  const answer = photoAnswer(desk, of), doubts = desk.told.taps.length ? desk.answer?.doubts || [] : [];
  const pins = desk.told.taps.map(({ n, x, y, what }) => ({ n, x, y, what }));
  return html`<photo-picture data-k="picture" pins="${JSON.stringify(pins)}"></photo-picture>
${desk.taken.say && html`<p class="note" data-k="taken">${desk.taken.say}</p>`}${
    doubts.map((doubt) =>
      html`
  <p class="${GRAVE.includes(doubt) ? 'missing' : 'note'} photo-doubt" role="status" data-k="doubt-${doubt}">
  ${GRAVE.includes(doubt) ? TRIANGLE : ''}${REMEDIES[doubt]}</p>`
    )
  }
<p class="say photo-next" data-k="next">${nextWords(desk, of)}</p>
${kinds(desk)}${sites(desk, of)}
<ol class="photo-taps" data-k="taps">${desk.told.taps.map((tap) => tapRow(desk, of, tap))}</ol>
${desk.told.taps.some(({ what }) => what !== 'white') && which(desk, of)}
${
    answer && html`<p class="say" aria-live="polite" data-k="say">
  ${answer.verdict.say}${
      answer.verdict.look && html` <span
  class="look-say">${answer.verdict.look}</span>`
    }${
      answer.verdict.quiet && html` <span
  class="quiet">${answer.verdict.quiet}</span>`
    }</p><div class="read-tiles many" data-k="fits">${tiles(answer)}</div>
  <p class="small" data-k="care">Colours in a photograph can be surer than they should be: look at the bird, or at the
  picture, before you tap its name.</p>`
  }
<div class="partrow photo-deeds" data-k="photo-deeds">
  <button class="btn" type="button" data-act="photo-turn">Turn it</button><button class="btn" type="button"
  data-act="photo-again">Another picture</button></div>`;
}

/** @param {PhotoDesk} desk @param {PhotoOf} of */
function taking(desk, { keeps }) {
  if (desk.opening) return html`<p class="say" role="status" data-k="opening">Opening the picture…</p>`;
  const way = (/** @type {string} */ kind, /** @type {string} */ words, /** @type {unknown} */ camera) =>
    html`<label
    class="btn${kind === 'camera' ? ' first' : ''}" data-k="${kind}">${words}<input class="hide" type="file"
    accept="image/*" data-photo="${kind}"${camera}></label>`;
  return html`<h2 class="lead" data-k="lead">A photograph of its legs</h2>
<p class="small" data-k="how">Held to the glasses, or a visitor’s picture: the metal and every band in it, in one light,
  none of them white with glare.</p>
<div class="photo-take" data-k="take">
  ${way('camera', 'Take a picture', drawn(' capture="environment"'))}${way('file', 'Choose a picture', '')}</div>
<p class="note" data-k="stays">${
    keeps ?
      html`When you tap a name, the picture is kept with the sighting for ${keeps}
  ${keeps === 1 ? 'day' : 'days'}: made small, without the place or the camera in it. Have no visitor in it. It can be
  removed on the bird’s
  page.` :
      'The picture stays on this phone and is not kept. Only what was read in it is saved, when you tap a name.'
  }
  </p>`;
}

/** @param {PhotoDesk} desk @param {PhotoOf} of */
function nextWords(desk, { limb }) {
  if (desk.what === 'metal') return 'Tap the metal band.';
  if (desk.what === 'white') return 'Tap white plumage.';
  return html`Tap each band of this ${limb}. <span
    class="quiet">The upper one is the one that is higher in the picture.</span>`;
}

/** @param {PhotoDesk} desk */
function kinds(desk) {
  const of = /** @type {const} */ ([['metal', 'metal'], ['band', 'colour band'], ['white', 'white plumage']]);
  return html`<div class="seg photo-seg" role="group" aria-label="What the next tap is on" data-k="what">
    ${
    of.map(([what, words]) =>
      html`<button type="button" data-k="${what}" data-act="photo-what" data-value="${what}"
    aria-pressed="${desk.what === what}">${words}</button>`
    )
  }</div>`;
}

/** A site in the words of the picture: which leg is which comes later. @param {string} site @param {PhotoOf} of
 * @returns {string} */
function siteWords(site, { sites: all, limb }) {
  const leg = `${site.startsWith('left') ? 'first' : 'second'} ${limb}`, part = site.split(' ')[1];
  return all.length > 2 ? `${leg}, ${part === 'tibia' ? 'above' : 'below'} the joint` : leg;
}

/** @param {PhotoDesk} desk @param {PhotoOf} of */
function sites(desk, of) {
  const on = desk.site(of),
    bare = !desk.told.taps.some(({ site, what }) => what !== 'white' && site.split(' ')[0] === on.split(' ')[0]);
  return html`<div class="seg photo-seg photo-sites" role="group" aria-label="Where the next tap is" data-k="sites">
    ${
    of.sites.map((site) =>
      html`<button type="button" data-k="${site}" data-act="photo-site" data-value="${site}"
    aria-pressed="${site === on}">${siteWords(site, of)}</button>`
    )
  }</div>
<div class="partrow" data-k="ends"><button class="btn" type="button" data-k="end"
  data-act="photo-end"${mayEnd(desk.told, on) ? '' : drawn(' disabled')}
  >${bare ? `no bands on this ${of.limb}` : `nothing more on this ${of.limb}`}</button></div>`;
}

/** @param {PhotoDesk} desk @param {PhotoOf} of @param {import('../shared/photo-taps.js').Tap} tap */
function tapRow(desk, of, { n, what, site, pixels }) {
  const middle = [0, 1, 2].map((at) => pixels.map((pixel) => pixel[at]).sort((a, b) => a - b)[pixels.length >> 1]);
  const at = desk.answer ? desk.answer.numbers.indexOf(n) : -1,
    row = at < 0 || what !== 'band' ? null : desk.answer?.chances[at];
  const likely = row
    ? row.map((chance, k) => ({ chance, name: desk.answer?.names[k] || '' })).sort((a, b) => b.chance - a.chance)
      .filter(({ chance }) => chance >= TOLD).slice(0, LIKELY)
    : [];
  const words = what === 'white' ? 'white plumage' : `${what === 'metal' ? 'metal' : 'band'}, ${siteWords(site, of)}`;
  return html`<li data-k="t${n}"><span class="tap-n">${n}</span><svg class="patch" viewBox="0 0 34 34"
    aria-hidden="true"><rect x="1" y="1" width="32" height="32" fill="rgb(${middle.join()})"/></svg><div>
    <p class="tap-what">${words}</p>${
    likely.length > 0 && html`<ul class="odds">
    ${
      likely.map(({ name, chance }) =>
        html`<li>
    ${drawn(chip(name, pagePalette()))}<span>${name}</span><span class="pct">${percent(chance)}</span></li>`
      )
    }</ul>`
  }
    </div><div class="tap-acts">${
    what !== 'white' && of.sites.includes(mirrored(site)) ?
      html`<button class="btn text"
    type="button" data-act="photo-other" data-n="${n}">other ${of.limb}</button>` :
      ''
  }<button class="btn text"
    type="button" data-act="photo-off" data-n="${n}" aria-label="Take tap ${n} off">take off</button></div></li>`;
}

/** @param {PhotoDesk} desk @param {PhotoOf} of */
function which(desk, { limb }) {
  return html`<h2 class="ruled" id="photo-which" data-k="which-h">Which is the first ${limb}?</h2>
    <div class="seg photo-which" role="group" aria-labelledby="photo-which" data-k="which">
    ${
    WHICH.map(([value, words]) =>
      html`<button type="button" data-k="${value}" data-act="photo-which"
    data-value="${value}" aria-pressed="${desk.told.which === value}">${words}</button>`
    )
  }</div>`;
}

/** The acts of a page that takes photographs. @template P
 * @param {(page: P) => {desk: PhotoDesk, of: PhotoOf}} at
 * @returns {Record<string, (page: P, button: HTMLElement) => unknown>} */
export function photoActs(at) {
  /** @param {(desk: PhotoDesk, of: PhotoOf, button: HTMLElement) => unknown} what */
  const act = (what) => (/** @type {P} */ page, /** @type {HTMLElement} */ button) => {
    const { desk, of } = at(page);
    return what(desk, of, button);
  };
  return {
    'photo-what': act((desk, _, button) => {
      desk.what = /** @type {any} */ (button.dataset.value);
    }),
    'photo-site': act((desk, _, button) => {
      desk.on = button.dataset.value || '';
    }),
    'photo-end': act((desk, of) => desk.say(of, withEnd(desk.told, desk.site(of), of.sites))),
    'photo-off': act((desk, of, button) => desk.say(of, withoutTap(desk.told, Number(button.dataset.n)))),
    'photo-other': act((desk, of, button) => desk.say(of, onOtherLeg(desk.told, Number(button.dataset.n)))),
    'photo-which': act((desk, of, button) =>
      desk.say(of, {
        ...desk.told,
        which: desk.told.which === button.dataset.value ? '' : /** @type {any} */ (button.dataset.value),
      })
    ),
    'photo-turn': act((desk) => desk.turn()),
    'photo-again': act((desk) => desk.clear()),
  };
}

/** Hear the picture's own events. @param {() => {desk: PhotoDesk, of: PhotoOf}} at
 * @param {(what: () => unknown) => void} act  one act at a time, as the page lets them through */
export function hearPhotos(at, act) {
  document.addEventListener('photo-tapped', (event) =>
    act(() => {
      const { desk, of } = at();
      desk.tap(of, /** @type {CustomEvent} */ (event).detail);
    }));
  document.addEventListener('change', (event) => {
    const input = event.target;
    if (!(input instanceof HTMLInputElement) || !input.dataset.photo || !input.files?.length) return;
    const file = input.files[0], camera = input.dataset.photo === 'camera';
    input.value = '';
    act(() => {
      const { desk, of } = at();
      desk.warm(of);
      return desk.open(file, camera);
    });
  });
}
