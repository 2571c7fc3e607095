// @ts-check
// What the service worker decides: where an answer comes from, and when a newer worker may take over.

import { openRound } from './rounds.js';

/** @typedef {import('./pack.js').Pack} Pack */
/** @typedef {import('./outbox.js').Entry} Entry */
/** @typedef {{kind: 'shell', key: string} | {kind: 'static'} | {kind: 'page'} | {kind: 'signed out'} | {kind: 'network'}} Source */

/** Pages that are shells: they carry nothing of any bird, so that one copy serves every exhibit and person. */
export const SHELLS = [
  { key: '/exhibits/0/roll-call/', fits: /^\/exhibits\/\d+\/roll-call\/$/ },
  { key: '/who/', fits: /^\/who\/$/ },
  { key: '/in-hand/', fits: /^\/in-hand\/$/ },
];

/** Pages kept as last known: with a connection they are always asked anew. */
const KEPT_PAGES = [/^\/$/, /^\/roll-call\/$/];

/**
 * Where the answer to a request comes from.
 * @param {{method: string, path: string, navigates: boolean, staticAt: string}} asked
 * @returns {Source}
 */
export function sourceOf({ method, path, navigates, staticAt }) {
  if (method !== 'GET') return { kind: 'network' };
  if (path.startsWith(staticAt)) return { kind: 'static' };
  if (!navigates) return { kind: 'network' };
  const shell = SHELLS.find(({ fits }) => fits.test(path));
  if (shell) return { kind: 'shell', key: shell.key };
  if (path.startsWith('/sign-in/')) return { kind: 'signed out' };
  return KEPT_PAGES.some((page) => page.test(path)) ? { kind: 'page' } : { kind: 'network' };
}

/**
 * Whether somebody is calling a roll on this phone: then nothing is changed under the thumb.
 * @param {Entry[]} entries @param {Pack[]} packs @param {number} now @returns {boolean}
 */
export function roundIsOpen(entries, packs, now) {
  const facts = entries.filter((entry) => entry.fate !== 'mended').map((entry) => entry.fact);
  const told = new Set(facts.map((fact) => fact.round).filter(Boolean));
  const exhibits = new Map(packs.map((pack) => [pack.exhibit.id, pack]));
  for (const fact of facts) {
    if (fact.kind === 'round_started' && fact.exhibit && !exhibits.has(fact.exhibit)) {
      exhibits.set(fact.exhibit, /** @type {Pack} */ (/** @type {unknown} */ ({ exhibit: { id: fact.exhibit }, round: null })));
    }
  }
  return [...exhibits.values()].some((pack) => {
    const round = openRound(pack, facts, { now, fresh: '' });
    return [...round.ids].some((id) => told.has(id));
  });
}

/** The words over a page that is shown as it was last known. @param {number} then @param {number} now @returns {string} */
export function asOf(then, now) {
  const minutes = Math.max(0, Math.round((now - then) / 60000));
  const ago = minutes < 90 ? `${minutes} ${minutes === 1 ? 'minute' : 'minutes'}` : minutes < 2880 ? `${Math.round(minutes / 60)} hours` : `${Math.round(minutes / 1440)} days`;
  return `No connection: as last known, ${ago} ago.`;
}
