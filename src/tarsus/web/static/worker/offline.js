// @ts-check
// The service worker: keeps the phone's pages and what they stand on, so that they open without a connection. It never
// takes over while a round is open: then it is not even installed, and asks again later.

import { asOf, roundIsOpen, SHELLS, sourceOf } from '../shared/offline.js';

/** @typedef {{version: string, staticAt: string, files: string[]}} Build */

const PAGES = 'tarsus-pages', PATIENCE_MS = 4000;
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @param {Build} build @returns {string} */
const cacheOf = (build) => `tarsus-${build.version}`;

/** Everything one store of the phone holds; nothing where there is no store yet. @param {string} name @returns {Promise<any[]>} */
function stored(name) {
  return new Promise((resolve) => {
    const asked = indexedDB.open('tarsus');
    asked.onupgradeneeded = () => asked.transaction?.abort(); // the page makes the stores, not the worker
    asked.onerror = () => resolve([]);
    asked.onsuccess = () => {
      const db = asked.result;
      if (!db.objectStoreNames.contains(name)) { db.close(); resolve([]); return; }
      const all = db.transaction(name).objectStore(name).getAll();
      all.onerror = () => { db.close(); resolve([]); };
      all.onsuccess = () => { db.close(); resolve(all.result); };
    };
  });
}

/** @param {Build} build */
async function install(build) {
  if (worker.registration.active && roundIsOpen(await stored('facts'), await stored('packs'), Date.now())) {
    throw new Error('a round is open: the newer worker waits until it is closed');
  }
  const cache = await caches.open(cacheOf(build));
  await cache.addAll(build.files.map((file) => new Request(file, { cache: 'no-cache' })));
  for (const { key } of SHELLS) {
    const shell = await signedIn(key);
    if (shell) await cache.put(key, shell);
  }
  for (const path of ['/', '/roll-call/']) {
    const page = await signedIn(path);
    if (page) await keepPage(path, page);
  }
  await worker.skipWaiting();
}

/** A page as a signed-in person gets it; nothing where that person may not open it.
 * @param {string} address @returns {Promise<Response|null>} */
async function signedIn(address) {
  const answer = await fetch(address, { credentials: 'same-origin', headers: { Accept: 'text/html' }, cache: 'no-store' });
  if (answer.status === 403) return null;
  if (!answer.ok || answer.redirected) throw new Error(`${address} was not to be had: nobody is signed in`);
  return answer;
}

/** @param {Build} build */
async function activate(build) {
  for (const name of await caches.keys()) {
    if (name.startsWith('tarsus-') && name !== cacheOf(build) && name !== PAGES) await caches.delete(name);
  }
  await worker.clients.claim();
}

/** @param {string} key @param {Response} answer */
async function keepPage(key, answer) {
  const headers = new Headers(answer.headers);
  headers.set('X-Kept-At', String(Date.now()));
  const kept = new Response(await answer.clone().blob(), { status: answer.status, headers });
  await (await caches.open(PAGES)).put(key, kept);
}

/** A kept file of this build, or the network's. @param {Build} build @param {Request} request @param {string} key */
async function fromCache(build, request, key) {
  const kept = await (await caches.open(cacheOf(build))).match(key, { ignoreVary: true });
  return kept || fetch(request);
}

/** A shell of this build; one that nobody here could open before is kept from now on.
 * @param {Build} build @param {Request} request @param {string} key */
async function shellOf(build, request, key) {
  const cache = await caches.open(cacheOf(build)), kept = await cache.match(key, { ignoreVary: true });
  if (kept) return kept;
  const answer = await fetch(request);
  if (answer.ok && !answer.redirected) await cache.put(key, answer.clone());
  return answer;
}

/** A page as the network has it now; where it has nothing in good time, as last known. @param {Request} request */
async function freshOrKept(request) {
  const path = new URL(request.url).pathname;
  try {
    const answer = await fetch(request, { signal: AbortSignal.timeout(PATIENCE_MS) });
    if (answer.ok && !answer.redirected) await keepPage(path, answer);
    return answer;
  } catch (error) {
    const kept = await (await caches.open(PAGES)).match(path, { ignoreVary: true });
    if (!kept) throw error;
    return withNotice(kept);
  }
}

/** @param {Response} kept @returns {Promise<Response>} */
async function withNotice(kept) {
  const says = asOf(Number(kept.headers.get('X-Kept-At')), Date.now());
  const page = (await kept.text()).replace(/<main\b[^>]*>/, (main) => `${main}<p class="note as-of" role="status">${says}</p>`);
  const headers = new Headers(kept.headers);
  headers.delete('Content-Length');
  headers.delete('Content-Encoding');
  return new Response(page, { status: 200, headers });
}

/** Whoever signs in next does not see the pages of whoever was here. @param {Request} request */
async function afterSigningOut(request) {
  await caches.delete(PAGES);
  return fetch(request);
}

/** @param {Build} build */
export function start(build) {
  worker.addEventListener('install', (event) => event.waitUntil(install(build)));
  worker.addEventListener('activate', (event) => event.waitUntil(activate(build)));
  worker.addEventListener('message', (event) => { if (event.data === 'claim') event.waitUntil(worker.clients.claim()); });
  worker.addEventListener('fetch', (event) => {
    const { request } = event, { pathname, origin } = new URL(request.url);
    if (origin !== worker.location.origin) return;
    const source = sourceOf({ method: request.method, path: pathname, navigates: request.mode === 'navigate', staticAt: build.staticAt });
    if (source.kind === 'shell') event.respondWith(shellOf(build, request, source.key));
    else if (source.kind === 'static') event.respondWith(fromCache(build, request, pathname));
    else if (source.kind === 'page') event.respondWith(freshOrKept(request));
    else if (source.kind === 'signed out') event.respondWith(afterSigningOut(request));
  });
}
