// @ts-check
// Nobody is signed in any more: this phone seals what it alone knows, and forgets the rest.

import { keptHere, withTheServer } from '../shared/outbox.js';
import { KEYS, sealAll } from './sealing.js';

/** @typedef {import('./store.js').Store} Store */

/** Kept under these names for whoever is signed in. */
const SAID = ['ahead', 'who', 'pins', 'in-hand', 'idle', 'locked', KEYS];

/** @param {Store} store @returns {Promise<ReturnType<typeof keptHere>>} what waits here */
export async function forget(store) {
  const entries = await store.entries(), closed = await sealAll(entries, await store.phone(KEYS));
  await store.forgetTold(withTheServer(entries), closed, SAID);
  document.body.dataset.signedOut = ''; // a page hears its own channel too
  const channel = new BroadcastChannel('tarsus-kept');
  channel.postMessage('signed out'); // another page of this phone still has it all before its eyes
  channel.close();
  return keptHere(await store.entries());
}
