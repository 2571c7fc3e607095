// @ts-check
// On every page of a signed-in person: the service worker is registered, the packs are fetched ahead, what is kept on
// this phone is said and sent.

import { Kept } from './kept.js';
import { Sending } from './sending.js';
import { fetchPacks } from './packs.js';
import { fetchHandPack } from './in-hand-state.js';
import { listenForAnswers } from './asking.js';
import { offerSignOut, signOutAfterAll } from './sign-out.js';
import { badgeWords } from '../shared/outbox.js';
import { html, patch } from './markup.js';

const AHEAD_MS = 10 * 60000, SHELLS_MS = 15000;

/** Ask for the worker; it decides by itself when it may take over. */
export async function registerWorker() {
  if (!('serviceWorker' in navigator)) return; // plain http away from this machine: pages work with a connection only
  try {
    await navigator.serviceWorker.register('/service-worker.js', { type: 'module', updateViaCache: 'none' });
    // A page that was opened while the first worker was starting is nobody's: it asks to be taken in.
    void navigator.serviceWorker.ready.then(({ active }) => {
      if (!navigator.serviceWorker.controller) active?.postMessage('claim');
    });
  } catch {
    // No connection, a round that is open, or a browser without module workers: asked again on the next page.
  }
}

/** Somebody signed in: the worker keeps the shells again, which it forgot when the one before signed out.
 * @returns {Promise<void>} */
function keepShells() {
  const worker = navigator.serviceWorker?.controller, { port1, port2 } = new MessageChannel();
  if (!worker) return Promise.resolve(); // the first one is still being installed, and fetches them for that
  worker.postMessage('shells', [port2]);
  return new Promise((resolve) => {
    port1.onmessage = () => resolve();
    setTimeout(resolve, SHELLS_MS);
  });
}

/** Fetch the packs of all exhibits, unless that was done a moment ago. @param {Kept} kept */
export async function fetchAhead(kept) {
  const last = (await kept.store.phone('ahead')) || 0;
  if (Date.now() - last < AHEAD_MS) return;
  const { all } = await fetchPacks(kept.store);
  await fetchHandPack(kept.store).catch(() => undefined); // not everybody takes birds in hand
  if (!last) await keepShells();
  if (all) await kept.store.setPhone('ahead', Date.now());
}

/** @param {Kept} kept */
function showBadge(kept) {
  const top = document.querySelector('.top');
  if (!top) return;
  const here = kept.here(), { n, word, more } = badgeWords(here);
  let badge = top.querySelector('.kept-badge');
  if (!badge) {
    badge = document.createElement('span');
    badge.className = 'kept-badge';
    top.append(badge);
  }
  patch(
    badge,
    here.kept ?
      html`<span class="badge" role="status"><span class="num">${n}</span> ${word}<span
    class="long">${more}</span></span>` :
      html``,
  );
}

async function begin() {
  if (!document.querySelector('.nav')) return; // nobody is signed in
  await registerWorker();
  offerSignOut();
  const kept = await Kept.open();
  if (await signOutAfterAll(kept.store)) return;
  kept.watchers.add(() => showBadge(kept));
  showBadge(kept);
  new Sending(kept, () => showBadge(kept)).soon(0);
  await fetchAhead(kept);
}

listenForAnswers();
if (document.body.dataset.phone === undefined) {
  begin().catch(() => undefined); // storage is refused: the pages themselves say so where it matters
}
