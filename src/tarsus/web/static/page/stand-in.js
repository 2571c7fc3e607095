// @ts-check
// Stands in for a page that cannot be had now: what of it is on this phone, how old that is, and where one can go on.

import { clockOf, momentOf } from '../shared/facts.js';
import { aboutAddress, ago } from '../shared/offline.js';
import { inWords as marksInWords } from '../shared/band-drawing.js';
import { adviceWords, capital, plural, unseenWords } from '../shared/words.js';
import { allAsToldHere } from '../shared/told-here.js';
import { Kept } from './kept.js';
import { html, patch } from './markup.js';
import { cannotOpen } from './asking.js';
import { notHere } from './packs.js';
import { usePalette } from './page-palette.js';
import { adviceMark, glyph } from './roll-call-pieces.js';
import { offerSignOut, signOutAfterAll } from './sign-out.js';
import { Sending } from './sending.js';
import './on-this-phone.js';

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Bird} Bird */

const main = /** @type {HTMLElement} */ (document.getElementById('main'));
/** Why the page stands here; opened by its own address it says only what is on the phone. */
const WHY = {
  yes: 'The server is slow: still asking for this page.',
  no: 'No connection: this page is with the server.',
};
const why = WHY[/** @type {keyof typeof WHY} */ (document.body.dataset.asking || '')] || 'What is on this phone:';

/** @param {Pack} pack */
const age = (pack) => ago(Date.parse(pack.made_at), Date.now());

/** @param {Pack} pack @param {Flock} flock @param {Bird} bird */
function aboutBird(pack, flock, bird) {
  const last = bird.last_seen
    ? `Last seen ${new Date(bird.last_seen.at).toLocaleDateString('en-GB', { day: 'numeric', month: 'long' })}, ${
      clockOf(bird.last_seen.at)
    }, ${bird.last_seen.how}.`
    : 'Not seen here yet.';
  const words = flock.form === 'told'
    ? bird.natural_marks.map(({ text }) => text).join('; ')
    : marksInWords({ marks: bird.marks, flags: bird.flags, form: flock.form });
  return html`<div class="who who-card" data-k="bird">${glyph(bird, flock.form)}<div><h2 class="name">${bird.name}</h2>
    <p class="small">${bird.species}, ${pack.exhibit.name}${bird.engraving && `, ${bird.engraving}`}</p>
    <p class="small">${words}</p><p class="small">
    ${last}${bird.unseen_days > 0 ? ` ${capital(unseenWords(bird))}.` : ''}</p>${adviceMark(adviceWords(bird, false))}
    </div></div><p class="small" data-k="age">
    As this phone knew it ${age(pack)}. Its history and weights are with the server.</p>`;
}

/** @param {Pack} pack @param {string} lookalike */
function aboutExhibit(pack, lookalike) {
  const flocks = pack.flocks.filter((flock) => !lookalike || flock.lookalike === lookalike);
  return html`<h2 class="ruled" data-k="name">${pack.exhibit.name}</h2><p class="small" data-k="age">
    As this phone knew it ${age(pack)}.</p>${
    flocks.map((flock) =>
      html`<h3 class="mini" data-k="h${flock.lookalike}">
    ${flock.birds.length} ${flock.birds.length === 1 ? flock.lookalike : plural(flock.lookalike)}</h3>
    <ul class="lookfor" data-k="f${flock.lookalike}">${
        flock.birds.map((bird) =>
          html`<li data-k="b${bird.id}">
    ${glyph(bird, flock.form)}<div><a class="name" href="/birds/${bird.id}/">${bird.name}</a><p class="small">
    ${bird.unseen_days > 0 ? unseenWords(bird) : bird.last_seen ? `seen ${momentOf(bird.last_seen.at)}` : ''}
    </p></div></li>`
        )
      }</ul>`
    )
  }<p data-k="call">
    <a class="btn first" href="/exhibits/${pack.exhibit.id}/roll-call/">Call its roll</a></p>`;
}

/** What of the page that was asked for is on this phone. @param {Pack[]} packs */
function known(packs) {
  const { kind, id, lookalike } = aboutAddress(location.pathname);
  if (kind === 'bird') {
    for (const pack of packs) {
      for (const flock of pack.flocks) {
        const bird = flock.birds.find((one) => one.id === id);
        if (bird) return aboutBird(pack, flock, bird);
      }
    }
  }
  const pack = kind === 'exhibit' && packs.find(({ exhibit }) => exhibit.id === id);
  return pack ? aboutExhibit(pack, lookalike) : html`<p class="say" data-k="nothing">
    Nothing of this page is kept on this phone.</p>`;
}

/** What was to be recorded can be recorded here. */
function tellHere() {
  const { kind, id } = aboutAddress(location.pathname), deed = /^\/deeds\/([a-z_]+)\//.exec(location.pathname)?.[1];
  const of = new URLSearchParams(location.search), named = new URLSearchParams();
  if (deed) named.set('deed', deed);
  for (const key of ['exhibit', 'bird', 'case']) if (of.get(key)) named.set(key, String(of.get(key)));
  if (kind === 'bird') named.set('bird', String(id));
  if (kind === 'exhibit') named.set('exhibit', String(id));
  return `${named}` ?
    html`<p data-k="tell"><a class="btn first" href="/tell/#${named}">Record it on this phone</a></p>
    ` :
    '';
}

/** @param {Kept} kept @param {Pack[]} packs @param {string[]} lacking */
function draw(kept, packs, lacking) {
  const { kept: waits } = kept.here();
  patch(
    main,
    html`<p class="note as-of" role="status" id="as-of" data-k="why">
    <span>${why}</span> <button class="btn" type="button" data-again>Try again</button></p>
<section data-k="known">${known(packs)}${tellHere()}</section>
<h2 class="ruled" data-k="on-h">What works from here</h2>
<ul class="more-list" data-k="on"><li>
  <a class="line row" href="/"><span></span><span class="name">Today, as last known</span></a></li><li>
  <a class="line row" href="/who/"><span></span><span class="name">Who is it?</span></a></li><li>
  <a class="line row" href="/in-hand/"><span></span><span class="name">In hand</span></a></li><li>
  <a class="line row" href="/tell/"><span></span><span
  class="name">Record: a death, a move, a health check …</span></a></li>${
      packs.map(({ exhibit }) =>
        html`
  <li data-k="e${exhibit.id}"><a class="line row" href="/exhibits/${exhibit.id}/roll-call/"><span></span><span
  class="name">Roll call: ${exhibit.name}</span></a></li>`
      )
    }</ul>
${lacking.length > 0 && html`<p class="note" data-k="lacking">Not on this phone: ${lacking.join(', ')}.</p>`}
  <p class="small" data-k="waits">
  ${waits ? `${waits} kept on this phone, sent when the server answers.` : 'All that was told here is with the server.'}
  </p>
<form data-k="out" method="post" action="/sign-out/">
  <button class="btn" type="submit">Sign out on this phone</button></form>`,
  );
}

async function begin() {
  const kept = await Kept.open(), packs = (await kept.store.packs()).sort((a, b) => a.exhibit.id - b.exhibit.id);
  if (await signOutAfterAll(kept.store)) return;
  if (packs.length) usePalette(packs[0].park.palette, packs[0].park.letters);
  const lacking = await notHere(kept.store), show = () => draw(kept, allAsToldHere(packs, kept.list()), lacking);
  kept.watchers.add(show);
  show();
  offerSignOut();
  new Sending(kept, show).soon(0);
}

begin().catch((error) => cannotOpen(main, error));
