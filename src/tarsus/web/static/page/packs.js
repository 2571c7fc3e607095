// @ts-check
// The packs of this phone: fetched when there is a connection, kept for when there is none.

import { localIso } from '../shared/facts.js';
import { leaveIfEnded } from './ended.js';

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('./store.js').Store} Store */

/** A slow server is waited for: what is kept serves meanwhile. */
const PATIENCE_MS = 60000, AT_ONCE_MS = 1500;
/** The list of the park's exhibits, as this phone last heard it. */
const LISTED_AS = 'exhibits';

/** A fresh pack, kept on this phone; null where none could be had. @param {Store} store @param {number} exhibit
 * @returns {Promise<Pack|null>} */
export async function fetchPack(store, exhibit) {
  try {
    const kept = await store.pack(exhibit);
    // The phone's own id: what was learned of its camera goes with the pack.
    const headers = {
      'Tarsus-Device': await store.phone('device') || '',
      ...(kept ? { 'If-None-Match': `"${kept.version} ${kept.person.id}"` } : {}),
    };
    const answer = await fetch(`/exhibits/${exhibit}/pack.json`, {
      signal: AbortSignal.timeout(PATIENCE_MS),
      cache: 'no-store',
      headers,
    });
    if (!answer.ok && answer.status !== 304) {
      await leaveIfEnded(answer);
      return null;
    }
    // The same flock as before: the pack is as good as new, and says so.
    const pack = answer.status === 304 && kept ? { ...kept, made_at: localIso(new Date()) } : await answer.json();
    await store.putPack(pack).catch(() => undefined); // no room to keep it: it serves while the page is open
    return pack;
  } catch {
    return null; // no network: the older pack serves
  }
}

/** A pack to begin with: a fresh one if it comes at once, else the one that is kept; a first one is waited for.
 * @param {Store} store @param {number} exhibit
 * @returns {Promise<{pack: Pack|null, before: Pack|undefined, later: Promise<Pack|null>|null}>} `later`: the fresh one,
 * on its way */
export async function packNow(store, exhibit) {
  const before = await store.pack(exhibit), fresh = fetchPack(store, exhibit);
  if (!before) return { pack: await fresh, before, later: null };
  const waited = new Promise((resolve) => {
    setTimeout(() => resolve(null), AT_ONCE_MS);
  });
  const pack = await Promise.race([fresh, /** @type {Promise<null>} */ (waited)]);
  return pack ? { pack, before, later: null } : { pack: before, before, later: fresh };
}

/** The packs of all exhibits: fetched where there is a connection, else as they were kept. @param {Store} store
 * @returns {Promise<{packs: Pack[], all: boolean}>} `all`: every exhibit was fetched anew just now */
export async function fetchPacks(store) {
  const exhibits = await listed(store);
  const fresh = await Promise.all((exhibits || []).map(({ id }) => fetchPack(store, id)));
  return { packs: await keptPacks(store), all: exhibits !== null && fresh.every(Boolean) };
}

/** Why a page has no pack to work with. @param {boolean} all  the server answered for every exhibit
 * @returns {string} */
export function noPacks(all) {
  return all
    ? 'No exhibit has been entered in this park yet. The lead keeper or an administrator enters them, with the birds.'
    : 'No exhibit is on this phone yet, and the server has not answered. Try again in reach of the network.';
}

/** The packs that this phone holds, in the park's order. @param {Store} store @returns {Promise<Pack[]>} */
export async function keptPacks(store) {
  return (await store.packs()).sort((a, b) => a.exhibit.id - b.exhibit.id);
}

/** The exhibits of the park that this phone has no pack of. @param {Store} store @returns {Promise<string[]>} */
export async function notHere(store) {
  const here = new Set((await store.packs()).map(({ exhibit }) => exhibit.id));
  return (await keptExhibits(store)).filter((/** @type {{id: number}} */ { id }) => !here.has(id)).map((
    /** @type {{name: string}} */ { name },
  ) => name);
}

/** The exhibits of the park as this phone last heard them. @param {Store} store
 * @returns {Promise<{id: number, name: string}[]>} */
export async function keptExhibits(store) {
  return (await store.phone(LISTED_AS)) || [];
}

/** The exhibits of the park; null where nobody answers. @param {Store} store
 * @returns {Promise<{id: number, name: string}[]|null>} */
async function listed(store) {
  try {
    const answer = await fetch('/exhibits.json', { signal: AbortSignal.timeout(PATIENCE_MS), cache: 'no-store' });
    if (!answer.ok) {
      await leaveIfEnded(answer);
      return null;
    }
    const { exhibits } = await answer.json();
    await store.setPhone(LISTED_AS, exhibits).catch(() => undefined); // no room to keep it
    return exhibits;
  } catch {
    return null;
  }
}
