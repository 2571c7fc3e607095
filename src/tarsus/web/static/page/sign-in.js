// @ts-check
// The sign-in page: nobody is signed in, so this phone forgets what it was told and says how many facts wait on it.
// Whoever signs in next fetches the packs anew.

import { Store } from './store.js';
import { forget } from './forgetting.js';
import { OWES } from './sign-out.js';
import { unlocked } from './idle-lock.js';
import { waitsHere } from '../shared/offline.js';

async function begin() {
  const store = await Store.open(),
    says = waitsHere(await forget(store)),
    place = document.getElementById('waits-here');
  await store.setPhone(OWES, false);
  unlocked();
  if (!place || !says) return;
  place.textContent = says;
  place.hidden = false;
}

begin().catch(() => undefined); // no storage: then nothing waits here either
