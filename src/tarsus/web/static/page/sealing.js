// @ts-check
// What a phone has not sent is sealed when nobody is signed in on it, by a key that the server gives to whoever may
// send it. While somebody is signed in the key lies here, where no script can read it out; it goes with the sealing.

import { sealed, sealedBy, toSeal } from '../shared/outbox.js';
import { leaveIfEnded } from './ended.js';
import { post } from './posting.js';

/** @typedef {import('../shared/outbox.js').Entry} Entry */
/** @typedef {import('./kept.js').Kept} Kept */
/** own: who is signed in · at: when the server gave them
 * @typedef {{own: number, at: number, keys: Record<string, CryptoKey>}} Keys */

export const KEYS = 'seal', IDLE = 'idle';
const ASK_AGAIN_MS = 10 * 60000, CLOSED_ASK_AGAIN_MS = 60000;

/** Ask for the keys of this phone, and open what they open. Without a connection, and on plain http, all stays as it
 * is.
 * @param {Kept} kept @param {number} now @returns {Promise<void>} */
export async function openSealed(kept, now) {
  try {
    await asked(kept, now);
  } catch {
    /* storage is full, or the answer broke off: what is sealed stays so, and what is open is sent all the same */
  }
}

/** @param {Kept} kept @param {number} now @returns {Promise<void>} */
async function asked(kept, now) {
  if (!globalThis.crypto?.subtle) return;
  /** @type {Keys|undefined} */
  const before = await kept.store.phone(KEYS);
  if (before && !(await askAgain(kept, before, now))) {
    await openBy(kept, before.keys);
    return;
  }
  const answer = await post('/phone.json', { device: kept.device }).catch(() => null);
  if (!answer?.ok) {
    if (answer) await leaveIfEnded(answer);
    return;
  }
  const told = await answer.json(), keys = await imported(told.keys);
  await kept.store.setPhone(KEYS, { own: told.person, at: now, keys });
  await kept.store.setPhone(IDLE, { minutes: told.idle_minutes, session: told.person, names: told.names });
  await openBy(kept, keys);
}

/** Whether the keys that are held may be too few by now: whoever took the phone since brings theirs. Not before every
 * tap is sent, though what another person told lies sealed here all day. @param {Kept} kept @param {Keys} before
 * @param {number} now @returns {Promise<boolean>} */
async function askAgain(kept, { at }, now) {
  const closed = kept.list().some(({ fate }) => fate === 'sealed'), taken = await kept.store.phone('who');
  return Math.abs(now - at) >= (closed ? CLOSED_ASK_AGAIN_MS : ASK_AGAIN_MS) || (closed && taken?.at > at);
}

/** @param {Kept} kept @param {Record<string, CryptoKey>} keys @returns {Promise<void>} */
async function openBy(kept, keys) {
  const opened = await Promise.all(
    kept.list().filter(({ fate }) => fate === 'sealed').map((entry) => opens(entry, keys)),
  );
  await kept.unseal(opened.filter((entry) => entry !== null));
}

/** The keys, so that no script reads them out again. @param {Record<string, string>} told  person to key
 * @returns {Promise<Record<string, CryptoKey>>} */
async function imported(told) {
  const pairs = Object.entries(told).map(async ([person, key]) => {
    const bytes = Uint8Array.from(atob(key), (sign) => sign.charCodeAt(0));
    return [person, await crypto.subtle.importKey('raw', bytes, 'AES-GCM', false, ['encrypt', 'decrypt'])];
  });
  return Object.fromEntries(await Promise.all(pairs));
}

/** Everything unsent, sealed. One that cannot be is left out, and stays as it is: nothing is lost for being private.
 * @param {Entry[]} entries @param {Keys|undefined} held @returns {Promise<Entry[]>} */
export async function sealAll(entries, held) {
  if (!held || !globalThis.crypto?.subtle) return [];
  const closed = await Promise.all(toSeal(entries).map((entry) => seals(entry, held).catch(() => null)));
  return closed.filter((entry) => entry !== null);
}

/** @param {Entry} entry @param {Keys} held @returns {Promise<Entry>} */
async function seals(entry, { own, keys }) {
  const of = sealedBy(entry, own, (person) => person in keys), iv = crypto.getRandomValues(new Uint8Array(12));
  const plain = new TextEncoder().encode(JSON.stringify(entry));
  const bytes = await crypto.subtle.encrypt(named(iv, entry), keys[of], plain);
  return sealed(entry, { of, iv, bytes });
}

/** The entry as it was, or null where no key here opens it. @param {Entry} entry
 * @param {Record<string, CryptoKey>} keys @returns {Promise<Entry|null>} */
async function opens(entry, keys) {
  const { seal } = entry, key = seal && keys[seal.of];
  if (!seal || !key) return null;
  try {
    return JSON.parse(new TextDecoder().decode(await crypto.subtle.decrypt(named(seal.iv, entry), key, seal.bytes)));
  } catch {
    return null; // another register's key, or a damaged store: it stays sealed, and is never dropped
  }
}

/** Bound to its id, so that no sealed entry passes for another. @param {Uint8Array} iv @param {Entry} entry */
const named = (iv, { fact }) => ({ name: 'AES-GCM', iv, additionalData: new TextEncoder().encode(fact.id) });
