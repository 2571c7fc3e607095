// @ts-check
// A shared phone changes hands: whoever takes it types their PIN. The server confirms it; without signal this phone
// does, for whoever the server confirmed here today.

import { localIso, newId } from '../shared/facts.js';
import { holder, provenHere, whyNotHere } from '../shared/holding.js';
import { capital } from '../shared/words.js';
import { html, patch } from './markup.js';

/** @typedef {import('./kept.js').Kept} Kept */
/** @typedef {{id: number, name: string}} Person */

const PATIENCE_MS = 15000, ROUNDS = 300000;

/** Who holds this phone. @param {Kept} kept @param {number} session @returns {Promise<number>} */
export const keptHolder = async (kept, session) => holder(await kept.store.phone('who'), session, Date.now());

/** Ask for the PIN of whoever takes the phone. @param {Kept} kept @param {Person} session  who is signed in
 * @param {Person} taker
 * @returns {Promise<boolean>} whether it is in their hands now */
export function handOver(kept, session, taker) {
  const box = document.createElement('dialog');
  box.className = 'pin';
  box.setAttribute('aria-label', `${taker.name} takes this phone`);
  let asking = false, open = true;
  const show = (/** @type {string} */ trouble) =>
    patch(
      box,
      html`<form method="dialog" class="fields"><h2>
    ${taker.name} takes this phone</h2><div class="field${trouble && ' is-refused'}">
    <label for="pin">PIN of ${taker.name}</label><input id="pin" type="password" inputmode="numeric" autocomplete="off"
    minlength="4" maxlength="8" required>${
        trouble && html`<p class="refusal" role="alert" data-k="w">${trouble}</p>
    `
      }${asking && html`<p class="small" role="status" data-k="a">Asking the server…</p>`}</div><div class="sends">
    <button class="btn" type="button" value="no">Cancel</button><button class="btn first"
    type="submit">Take it</button></div></form>`,
    );
  show('');
  document.body.append(box);
  box.showModal();
  return new Promise((resolve) => {
    const end = (/** @type {boolean} */ taken) => {
      open = false;
      box.remove();
      resolve(taken);
    };
    box.addEventListener('cancel', () => end(false));
    box.addEventListener('click', (event) => {
      if (event.target instanceof HTMLButtonElement && event.target.value === 'no') end(false);
    });
    box.addEventListener('submit', async (event) => {
      event.preventDefault();
      if (asking) return; // a second tap would count a wrong PIN once and try it twice
      const input = /** @type {HTMLInputElement} */ (box.querySelector('input')), pin = input.value;
      asking = true;
      show('');
      let trouble = '';
      try {
        trouble = await confirmed(kept, session, taker, pin);
        if (!open) return; // cancelled meanwhile: the phone stays in the hands it is in
        if (!trouble) await kept.store.setPhone('who', { session: session.id, who: taker.id, at: Date.now() });
      } catch (error) {
        trouble = error instanceof Error ? error.message : String(error);
      }
      asking = false;
      if (!trouble) {
        end(true);
        return;
      }
      show(trouble);
      input.value = '';
      input.focus();
    });
  });
}

/** Whether this phone may lock without a connection: it knows the PIN of whoever holds it. One that was typed wrong too
 * often keeps it locked: else whoever found it had but to fail and load the page anew. @param {Kept} kept
 * @param {number} session @param {Person} who
 * @returns {Promise<boolean>} */
export async function locksHere(kept, session, who) {
  return provenHere(((await kept.store.phone('pins')) || {})[`${session} ${who.id}`], Date.now());
}

/** Whether somebody can open this phone by their PIN without a connection. @param {Kept} kept @param {number} session
 * @param {Person} who
 * @returns {Promise<boolean>} */
async function opensHere(kept, session, who) {
  return whyNotHere(((await kept.store.phone('pins')) || {})[`${session} ${who.id}`], who.name, Date.now()) === '';
}

/** The PIN of whoever holds the phone already: this phone's own word goes before the server's, since nothing changes
 * hands.
 * @param {Kept} kept @param {Person} session @param {Person} who @param {string} pin
 * @returns {Promise<string>} what is amiss */
export async function heldStill(kept, session, who, pin) {
  if (!(await opensHere(kept, session.id, who))) return confirmed(kept, session, who, pin);
  return here(kept, await kept.store.phone('pins'), `${session.id} ${who.id}`, who, pin);
}

/** @param {Kept} kept @param {Person} session @param {Person} taker @param {string} pin
 * @returns {Promise<string>} what is amiss */
async function confirmed(kept, session, taker, pin) {
  const proofs = (await kept.store.phone('pins')) || {}, key = `${session.id} ${taker.id}`;
  const said = await asked(kept, session, taker, pin);
  if (said === null) return here(kept, proofs, key, taker, pin);
  if (said) return said;
  const proof = await proofOf(pin);
  await kept.store.setPhone('pins', { ...proofs, ...(proof && { [key]: { ...proof, at: Date.now(), wrong: 0 } }) });
  return '';
}

/** The server's word: empty where the PIN is right, null where there is no server. @param {Kept} kept
 * @param {Person} session
 * @param {Person} taker @param {string} pin @returns {Promise<string|null>} */
async function asked(kept, session, taker, pin) {
  const id = newId((bytes) => crypto.getRandomValues(bytes)), at = localIso(new Date());
  const fact = { id, kind: 'phone_handed_over', at, by: session.id, taken_by: taker.id, pin };
  const csrf = /(?:^|; )(?:__Host-)?csrftoken=([^;]*)/.exec(document.cookie)?.[1] || '';
  try {
    const answer = await fetch('/facts', {
      method: 'POST',
      headers: { 'Content-Type': 'application/json', 'X-CSRFToken': csrf },
      signal: AbortSignal.timeout(PATIENCE_MS),
      body: JSON.stringify({ clock: at, device: kept.device, facts: [fact] }),
    });
    if (answer.status === 401 || answer.status === 403)
      return `${session.name} is not signed in any more: sign in first.`;
    if (!answer.ok) return null;
    const [{ outcome, reason }] = (await answer.json()).answers;
    return outcome === 'refused' ? capital(String(reason).replace(/^(pin|by|taken_by): /, '')) : '';
  } catch {
    return null;
  }
}

/** Without signal: by what this phone kept of the PIN. @param {Kept} kept
 * @param {Record<string, import('../shared/holding.js').Proof>} proofs
 * @param {string} key @param {Person} taker @param {string} pin @returns {Promise<string>} */
async function here(kept, proofs, key, taker, pin) {
  const proof = proofs[key], why = whyNotHere(proof, taker.name, Date.now());
  if (why) return why;
  const again = await proofOf(pin, proof.salt), right = again?.digest === proof.digest;
  await kept.store.setPhone('pins', { ...proofs, [key]: { ...proof, wrong: right ? 0 : proof.wrong + 1 } });
  return right ? '' : 'This is not their PIN; nothing changed hands.';
}

/** A slow digest of a PIN; null on plain http, where browsers have none. @param {string} pin @param {string} [salt]
 * @returns {Promise<{salt: string, digest: string}|null>} */
async function proofOf(pin, salt = newId((bytes) => crypto.getRandomValues(bytes))) {
  if (!crypto.subtle) return null;
  const text = new TextEncoder(),
    key = await crypto.subtle.importKey('raw', text.encode(pin), 'PBKDF2', false, ['deriveBits']);
  const bits = await crypto.subtle.deriveBits(
    { name: 'PBKDF2', hash: 'SHA-256', salt: text.encode(salt), iterations: ROUNDS },
    key,
    256,
  );
  return { salt, digest: [...new Uint8Array(bits)].map((byte) => byte.toString(16).padStart(2, '0')).join('') };
}
