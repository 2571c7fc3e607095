// @ts-check
// The sign-in page: nobody is signed in, so this phone forgets what it was told and says how many facts wait on it.
// Whoever signs in next fetches the packs anew.

import { Store } from './store.js';
import { keptHere, withTheServer } from '../shared/outbox.js';
import { waitsHere } from '../shared/offline.js';

async function begin() {
  const store = await Store.open(), entries = await store.entries(), says = waitsHere(keptHere(entries)), place = document.getElementById('waits-here');
  await store.forgetTold(withTheServer(entries), ['ahead', 'who', 'pins', 'in-hand']);
  if (!place || !says) return;
  place.textContent = says;
  place.hidden = false;
}

begin().catch(() => undefined); // no storage: then nothing waits here either
