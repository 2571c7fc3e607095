// @ts-check
// The sign-in page: how many facts wait on this phone. Whoever signs in next fetches the packs anew.

import { Store } from './store.js';
import { keptHere } from '../shared/outbox.js';
import { waitsHere } from '../shared/offline.js';

async function begin() {
  const store = await Store.open(), says = waitsHere(keptHere(await store.entries())), place = document.getElementById('waits-here');
  await store.setPhone('ahead', 0);
  if (!place || !says) return;
  place.textContent = says;
  place.hidden = false;
}

begin().catch(() => undefined); // no storage: then nothing waits here either
