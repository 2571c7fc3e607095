// @ts-check
// Signing out works without a connection too: this phone forgets at once, and the server hears it when it can.

import { Store } from './store.js';
import { forget } from './forgetting.js';
import { post } from './posting.js';
import { waitsHere } from '../shared/offline.js';

/** Under this a phone keeps that it signed out, and the server does not know yet. */
export const OWES = 'owes-sign-out';
/** Where the worker keeps pages as last known. */
const PAGES = 'tarsus-pages';

/** Tell the server that was not there; nothing else is told or asked before. @param {Store} store
 * @returns {Promise<boolean>} whether this page is over */
export async function signOutAfterAll(store) {
  if (!(await store.phone(OWES))) return false;
  const answer = await post('/sign-out/').catch(() => null);
  if (answer?.ok) location.replace('/sign-in/');
  else {
    await globalThis.caches?.delete(PAGES);
    over(await forget(store));
  }
  return true;
}

/** Sign out, here at once and on the server as soon as it is reached. @returns {Promise<void>} */
export async function leave() {
  const store = await Store.open();
  await store.setPhone(OWES, true);
  await signOutAfterAll(store);
}

/** @param {{kept: number, refused: number, sealed: number}} here */
function over(here) {
  document.title = 'Signed out';
  const says = document.createElement('main'), head = document.createElement('h1'), more = document.createElement('p');
  says.className = 'book sign-in pad';
  head.textContent = 'Signed out on this phone';
  more.textContent = `No connection: the server hears it as soon as this phone reaches it. ${waitsHere(here)}`;
  says.append(head, more);
  document.body.replaceChildren(says);
}

/** On a page with a button for it; where the storage is closed the form goes its own way. */
export function offerSignOut() {
  for (const form of document.querySelectorAll('form[action="/sign-out/"]')) {
    form.addEventListener('submit', (event) => {
      event.preventDefault();
      leave().catch(() => /** @type {HTMLFormElement} */ (form).submit());
    });
  }
}
