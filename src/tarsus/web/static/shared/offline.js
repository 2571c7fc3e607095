// @ts-check
// What the service worker decides: where an answer comes from, and when a newer worker may take over.

import { counted } from './numbers.js';
import { openRound } from './rounds.js';

/** @typedef {import('./pack.js').Pack} Pack */
/** @typedef {import('./outbox.js').Entry} Entry */
/** @typedef
 * {{kind: 'shell', key: string} | {kind: 'static'} | {kind: 'page'} | {kind: 'elsewhere'} | {kind: 'signed out'} |
 * {kind: 'network'}} Source */

/** Pages that are shells: they carry nothing of any bird, so that one copy serves every exhibit and person. */
export const SHELLS = [
  { key: '/exhibits/0/roll-call/', fits: /^\/exhibits\/\d+\/roll-call\/$/ },
  { key: '/exhibits/0/practice/', fits: /^\/exhibits\/\d+\/practice\/$/ },
  { key: '/who/', fits: /^\/who\/$/ },
  { key: '/tell/', fits: /^\/tell\/$/ },
  { key: '/in-hand/', fits: /^\/in-hand\/$/ },
  { key: '/on-this-phone/', fits: /^\/on-this-phone\/$/ },
];

/** The shell that stands in for a page that cannot be had now: it says what of it is on this phone. */
export const STAND_IN = '/on-this-phone/';

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
  return KEPT_PAGES.some((page) => page.test(path)) ? { kind: 'page' } : { kind: 'elsewhere' };
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
      exhibits.set(fact.exhibit, /** @type {Pack} */ (/** @type {unknown} */ ({ exhibit: { id: fact.exhibit } })));
    }
  }
  return [...exhibits.values()].some((pack) => {
    const round = openRound(pack, facts, { now, fresh: '' });
    return [...round.open].some((id) => told.has(id));
  });
}

/** How long ago something was, in words. @param {number} then @param {number} now @returns {string} */
export function ago(then, now) {
  const minutes = Math.max(0, Math.round((now - then) / 60000));
  if (minutes < 1) return 'a moment ago';
  const [n, unit] = minutes < 90
    ? [minutes, 'minute']
    : minutes < 2880
    ? [Math.round(minutes / 60), 'hour']
    : [Math.round(minutes / 1440), 'day'];
  return `${n} ${counted(unit, n)} ago`;
}

/** The words over a page that is shown as it was last known: a slow server is no missing connection.
 * @param {number} then @param {number} now @param {boolean} asking  the answer may still come @returns {string} */
export function asOf(then, now, asking) {
  return asking
    ? `As last known, ${ago(then, now)}; still asking the server.`
    : `No connection: as last known, ${ago(then, now)}.`;
}

/** What the address of a page is about, as far as a pack may know it.
 * @param {string} path @returns {{kind: 'bird'|'exhibit'|'other', id: number, lookalike: string}} */
export function aboutAddress(path) {
  const bird = /^\/birds\/(\d+)\//.exec(path),
    exhibit = /^\/exhibits\/(\d+)\//.exec(path),
    flock = /^\/flocks\/(\d+)\/([^/]+)\//.exec(path);
  if (bird) return { kind: 'bird', id: Number(bird[1]), lookalike: '' };
  if (flock) return { kind: 'exhibit', id: Number(flock[1]), lookalike: decodeURIComponent(flock[2]) };
  return { kind: exhibit ? 'exhibit' : 'other', id: exhibit ? Number(exhibit[1]) : 0, lookalike: '' };
}

/** How many facts wait on this phone, for the page where nobody is signed in yet; empty where none do.
 * @param {{kept: number, refused: number, sealed?: number}} here @returns {string} */
export function waitsHere({ kept, refused, sealed = 0 }) {
  const closed = sealed &&
    `${sealed} ${counted('fact', sealed)} ${
      sealed === 1 ? 'waits' : 'wait'
    } sealed on this phone: sent once whoever told ${sealed === 1 ? 'it' : 'them'} has signed in.`;
  if (!kept) return closed || '';
  if (closed) return `${waitsHere({ kept, refused })} ${closed}`;
  const lead = `${kept} ${counted('fact', kept)} ${
    kept === 1 ? 'waits' : 'wait'
  } on this phone: sent once somebody has signed in`;
  return refused ? `${lead}, ${refused} of them to mend.` : `${lead}.`;
}
