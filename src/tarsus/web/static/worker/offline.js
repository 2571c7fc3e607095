// @ts-check
// The service worker: keeps the phone's pages and what they stand on, so that they open without a connection. It never
// takes over while a round is open: then it is not even installed, and asks again later.

import { asOf, roundIsOpen, SHELLS, sourceOf, STAND_IN } from '../shared/offline.js';
import { listenForNews } from './phone-news.js';

/** patienceMs: how long a page is waited for before what is known is shown
 * @typedef {{version: string, staticAt: string, files: string[], patienceMs: number}} Build */

const PAGES = 'tarsus-pages', ARRIVED_MS = 60000;
const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

/** @param {Build} build @returns {string} */
const cacheOf = (build) => `tarsus-${build.version}`;

/** Everything one store of the phone holds; nothing where there is no store yet. @param {string} name
 * @returns {Promise<any[]>} */
function stored(name) {
  return new Promise((resolve) => {
    const asked = indexedDB.open('tarsus');
    asked.onupgradeneeded = () => asked.transaction?.abort(); // the page makes the stores, not the worker
    asked.onerror = () => resolve([]);
    asked.onsuccess = () => {
      const db = asked.result;
      if (!db.objectStoreNames.contains(name)) {
        db.close();
        resolve([]);
        return;
      }
      const all = db.transaction(name).objectStore(name).getAll();
      all.onerror = () => {
        db.close();
        resolve([]);
      };
      all.onsuccess = () => {
        db.close();
        resolve(all.result);
      };
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
  await keepShells(cache);
  for (const path of ['/', '/roll-call/']) {
    const page = await signedIn(path);
    if (page) await keepPage(path, page);
  }
  await worker.skipWaiting();
}

/** @param {Cache} cache */
async function keepShells(cache) {
  for (const { key } of SHELLS) {
    const shell = await signedIn(key);
    if (shell) await cache.put(key, shell);
  }
}

/** The shells again, for whoever signed in. @param {Build} build @param {MessagePort} asked */
async function shellsAgain(build, asked) {
  await keepShells(await caches.open(cacheOf(build))).catch(() => undefined); // else each is kept when it is opened
  asked.postMessage('kept');
}

/** A page as a signed-in person gets it; nothing where that person may not open it.
 * @param {string} address @returns {Promise<Response|null>} */
async function signedIn(address) {
  const answer = await fetch(address, {
    credentials: 'same-origin',
    headers: { Accept: 'text/html' },
    cache: 'no-store',
  });
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

/** Answers that came after their page was shown as last known, until the page takes them.
 * @type {Map<string, Response>} */
const arrived = new Map();

/** A page as the network has it now. Where it is slow, what is known is shown, and the answer is taken when it comes.
 * @param {Build} build @param {FetchEvent} event
 * @param {boolean} kept  whether the page is one that is kept as last known */
async function asked(build, event, kept) {
  const { request } = event, address = bare(request.url), came = arrived.get(address);
  if (came) {
    arrived.delete(address);
    return came;
  }
  const answer = fetch(request).then(async (found) => {
    if (kept && found.ok && !found.redirected) await keepPage(new URL(address).pathname, found);
    return found;
  });
  const slow = new Promise((resolve) => {
    setTimeout(() => resolve('slow'), build.patienceMs);
  });
  const first = await Promise.race([answer.catch(() => 'none'), slow]);
  if (first instanceof Response) return first;
  if (first === 'slow') event.waitUntil(tell(event.resultingClientId, address, answer));
  return (kept && await lastKnown(address, first === 'slow')) || standIn(build, first === 'slow', answer);
}

/** Tell the page that shows what is known that its answer came, or that none will. @param {string} client
 * @param {string} address
 * @param {Promise<Response>} answer */
async function tell(client, address, answer) {
  const came = await answer.catch(() => null);
  if (came) {
    arrived.set(address, came);
    setTimeout(() => arrived.delete(address), ARRIVED_MS);
  }
  (await worker.clients.get(client))?.postMessage(came ? { arrived: address } : { none: address });
}

/** @param {string} url @returns {string} without its fragment */
const bare = (url) => url.split('#')[0];

/** @param {string} address @param {boolean} asking @returns {Promise<Response|null>} */
async function lastKnown(address, asking) {
  const kept = await (await caches.open(PAGES)).match(new URL(address).pathname, { ignoreVary: true });
  return kept ? withNotice(kept, asking) : null;
}

/** The page of our own for one that cannot be had now. @param {Build} build @param {boolean} asking
 * @param {Promise<Response>} answer */
async function standIn(build, asking, answer) {
  const shell = await (await caches.open(cacheOf(build))).match(STAND_IN, { ignoreVary: true });
  if (!shell) return answer; // nothing of ours is here yet: the browser says what it has to say
  return rewritten(
    shell,
    (page) => page.replace(/<body\b/, (body) => `${body} data-asking="${asking ? 'yes' : 'no'}"`),
  );
}

/** @param {Response} kept @param {boolean} asking @returns {Promise<Response>} */
function withNotice(kept, asking) {
  const says = asOf(Number(kept.headers.get('X-Kept-At')), Date.now(), asking);
  const notice = `<p class="note as-of" role="status" id="as-of"><span>${says}</span> `
    + `<button class="btn" type="button" data-again>Try again</button></p>`;
  return rewritten(kept, (page) => page.replace(/<main\b[^>]*>/, (main) => `${main}${notice}`));
}

/** @param {Response} kept @param {(page: string) => string} change @returns {Promise<Response>} */
async function rewritten(kept, change) {
  const page = change(await kept.text()), headers = new Headers(kept.headers);
  headers.delete('Content-Length');
  headers.delete('Content-Encoding');
  return new Response(page, { status: 200, headers });
}

/** Whoever comes next does not see the pages of whoever was here, nor opens a shell. A sign-in page that did not come,
 * or that led on because somebody is signed in, is no signing out. @param {Build} build @param {Request} request */
async function afterSigningOut(build, request) {
  const answer = await fetch(request);
  if (!answer.ok) return answer;
  await caches.delete(PAGES);
  arrived.clear();
  const cache = await caches.open(cacheOf(build));
  for (const { key } of SHELLS) await cache.delete(key, { ignoreVary: true });
  return answer;
}

/** @param {Build} build */
export function start(build) {
  listenForNews(worker);
  worker.addEventListener('install', (event) => event.waitUntil(install(build)));
  worker.addEventListener('activate', (event) => event.waitUntil(activate(build)));
  worker.addEventListener('message', (event) => {
    if (event.data === 'claim') event.waitUntil(worker.clients.claim());
    else if (event.data === 'shells') event.waitUntil(shellsAgain(build, event.ports[0]));
  });
  worker.addEventListener('fetch', (event) => {
    const { request } = event, { pathname, origin } = new URL(request.url);
    if (origin !== worker.location.origin) return;
    const source = sourceOf({
      method: request.method,
      path: pathname,
      navigates: request.mode === 'navigate',
      staticAt: build.staticAt,
    });
    if (source.kind === 'shell') event.respondWith(shellOf(build, request, source.key));
    else if (source.kind === 'static') event.respondWith(fromCache(build, request, pathname));
    else if (source.kind === 'page' || source.kind === 'elsewhere')
      event.respondWith(asked(build, event, source.kind === 'page'));
    else if (source.kind === 'signed out') event.respondWith(afterSigningOut(build, request));
  });
}
