// @ts-check
// A shared phone that lies untouched is covered until its PIN is typed. The page stays as it is beneath: what was
// tapped, and a reading that is not finished, are there again.

import { liesIdle } from '../shared/holding.js';
import { heldStill, keptHolder, locksHere } from './hand-over.js';
import { html, patch } from './markup.js';
import { post } from './posting.js';
import { IDLE } from './sealing.js';
import { leave } from './sign-out.js';

/** @typedef {import('./kept.js').Kept} Kept */
/** What the server told of this phone's lock.
 * @typedef {{minutes: number, session: number, names: Record<string, string>}} Idle */

/** Kept for all pages of this phone at once. */
const TOUCHED = 'tarsus-touched', LOCKED = 'tarsus-locked';
const LOOKS_EVERY_MS = 10000, NOTED_EVERY_MS = 3000;
let watching = false;
/** after how many it locks, as this page last heard */
let minutes = 0;

/** Begin to watch, once a page. @param {Kept} kept */
export function watchIdle(kept) {
  if (watching) return;
  watching = true;
  const note = () => localStorage.setItem(TOUCHED, String(Date.now()));
  const look = () => lookAt(kept).catch(() => undefined); // storage is closed: the page says so where it matters
  const touch = () => {
    if (!liesIdle(touched(), minutes, Date.now())) {
      if (Date.now() - touched() > NOTED_EVERY_MS) note();
      return;
    }
    // Nobody looked since it lay idle, as on a phone that slept: the tap that comes too late wakes the lock, and is no
    // touch.
    void look().then(() => {
      if (!localStorage.getItem(LOCKED)) note();
    });
  };
  if (!touched()) touch();
  void look();
  setInterval(look, LOOKS_EVERY_MS);
  document.addEventListener('visibilitychange', look);
  for (const kind of ['pointerdown', 'keydown']) addEventListener(kind, touch, { passive: true });
}

/** Somebody signed in: the phone was just touched. */
export function unlocked() {
  localStorage.removeItem(LOCKED);
  localStorage.setItem(TOUCHED, String(Date.now()));
}

const touched = () => Number(localStorage.getItem(TOUCHED)) || 0;

/** @param {Kept} kept */
async function lookAt(kept) {
  /** @type {Idle|undefined} */
  const idle = await kept.store.phone(IDLE);
  minutes = idle?.minutes || 0;
  if (!idle?.minutes || document.querySelector('dialog.lock')) return;
  const late = liesIdle(touched(), idle.minutes, Date.now());
  if (!late && !localStorage.getItem(LOCKED)) return;
  const id = await keptHolder(kept, idle.session), who = { id, name: idle.names[id] || 'whoever holds this phone' };
  // Where no PIN could be confirmed it stays open: a round without signal is not shut away from its keeper.
  const since = touched();
  if (!(await locksHere(kept, idle.session, who)) && !(await answers(kept))) return;
  if (touched() !== since && !localStorage.getItem(LOCKED)) return; // opened on another page meanwhile
  cover(kept, idle, who);
}

/** @param {Kept} kept @returns {Promise<boolean>} whether the server would hear a PIN now */
const answers = async (kept) => Boolean((await post('/phone.json', { device: kept.device }).catch(() => null))?.ok);

/** @param {Kept} kept @param {Idle} idle @param {{id: number, name: string}} who */
function cover(kept, idle, who) {
  if (document.querySelector('dialog.lock')) return;
  localStorage.setItem(LOCKED, '1');
  const box = document.createElement('dialog'), session = { id: idle.session, name: idle.names[idle.session] || '' };
  box.className = 'pin lock';
  box.setAttribute('aria-label', 'This phone is locked');
  let asking = false;
  const show = (/** @type {string} */ trouble) =>
    patch(
      box,
      html`<form method="dialog" class="fields"><h2>Locked</h2>
    <p>Untouched for ${idle.minutes} minutes. All that was tapped is still here.</p>
    <div class="field${trouble && ' is-refused'}">
    <label for="pin">PIN of ${who.name}</label><input id="pin" type="password" inputmode="numeric" autocomplete="off"
    minlength="4" maxlength="8" required>${
        trouble && html`<p class="refusal" role="alert" data-k="w">${trouble}</p>
    `
      }${asking && html`<p class="small" role="status" data-k="a">Looking…</p>`}</div><div class="sends">
    <button class="btn first" type="submit">Open</button><button class="btn" type="button"
    value="out">Sign out</button></div></form>`,
    );
  const open = () => {
    localStorage.removeItem(LOCKED);
    localStorage.setItem(TOUCHED, String(Date.now()));
    box.remove();
  };
  show('');
  document.body.append(box);
  box.showModal();
  box.addEventListener('cancel', (event) => event.preventDefault());
  box.addEventListener('close', () => {
    if (box.isConnected) box.showModal();
  }); // browsers let a second Escape through
  box.addEventListener('click', (event) => {
    if (event.target instanceof HTMLButtonElement && event.target.value === 'out') void leave();
  });
  box.addEventListener('submit', async (event) => {
    event.preventDefault();
    if (asking) return;
    const input = /** @type {HTMLInputElement} */ (box.querySelector('input')), pin = input.value;
    asking = true;
    show('');
    const trouble = await heldStill(kept, session, who, pin).catch((error) => String(error));
    asking = false;
    if (!trouble) {
      open();
      return;
    }
    show(trouble);
    input.value = '';
    input.focus();
  });
  window.addEventListener('storage', ({ key, newValue }) => {
    if (key === LOCKED && !newValue) box.remove();
  }); // opened on another page of this phone
}
