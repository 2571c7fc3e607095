// @ts-check
// Says the outbox to the server: in order, in batches, with back-off, one at a time. What was not answered is said
// again.

import { afterStatus, asideSeconds, counted, nextBatch, paceAfter, USUAL, waitSeconds } from '../shared/outbox.js';
import { localIso } from '../shared/facts.js';
import { leaveIfEnded } from './ended.js';
import { openSealed } from './sealing.js';
import { csrf } from './posting.js';
import { watchIdle } from './idle-lock.js';
import { signOutAfterAll } from './sign-out.js';

/** @typedef {import('./kept.js').Kept} Kept */

const PATIENCE_MS = 20000;

/** Two pages of one phone need not say the same at once; saying it twice would do no harm.
 * @param {() => Promise<void>} what */
async function alone(what) {
  if (!navigator.locks) {
    await what();
    return;
  } // plain http away from this machine
  await navigator.locks.request('tarsus-sending', { ifAvailable: true }, (lock) => (lock ? what() : undefined));
}

export class Sending {
  /** @param {Kept} kept @param {(said: {signIn: boolean}) => void} told */
  constructor(kept, told) {
    this.kept = kept;
    this.told = told;
    this.failures = 0;
    this.pace = USUAL;
    this.asideAt = 0; // when a fact that was set aside is tried again
    this.busy = false;
    /** @type {ReturnType<typeof setTimeout>|undefined} */
    this.timer = undefined;
    this.signIn = false;
    this.asked = 0; // facts heard when the server was last asked what of them it could not write
    watchIdle(kept);
    addEventListener('online', () => this.soon(0));
    document.addEventListener('visibilitychange', () => {
      if (!document.hidden) this.soon(0);
    });
    kept.watchers.add(() => {
      if (this.failures === 0) this.soon(0.3);
    });
  }

  /** @param {number} seconds */
  soon(seconds) {
    clearTimeout(this.timer);
    this.timer = setTimeout(() => void this.send(), seconds * 1000);
  }

  /** Say one batch after another until nothing is left or something is amiss. @returns {Promise<void>} */
  async send() {
    if (this.busy) return;
    this.busy = true;
    try {
      await alone(async () => {
        if (await signOutAfterAll(this.kept.store)) return;
        await openSealed(this.kept, Date.now());
        let going = true;
        while (going) going = await this.#one();
        if (this.failures === 0) await this.#askLate();
      });
    } finally {
      this.busy = false;
    }
  }

  /** @returns {Promise<boolean>} whether to go on at once */
  async #one() {
    const batch = nextBatch(this.kept.list(), this.pace.size), aside = Boolean(batch[0]?.aside);
    if (!batch.length || aside) this.pace = USUAL;
    if (!batch.length || (aside && this.#rests())) return false;
    const { status, answers } = await this.#post(batch.map((entry) => entry.fact));
    this.pace = counted(this.pace, status);
    const next = aside && status === 500 ? 'aside' : afterStatus(status, batch.length, this.pace);
    this.#signedIn(next !== 'sign in');
    if (next === 'answered' && !((await this.kept.hear(batch, answers)) > 0)) return this.#later();
    this.pace = paceAfter(this.pace, next, batch.length);
    if (next === 'again' || next === 'sign in') return this.#later();
    if (next === 'answered') this.failures = 0;
    if (next === 'single')
      await this.kept.hear(batch, [{
        id: batch[0].fact.id,
        outcome: 'refused',
        reason: 'the server could not read it',
      }]);
    if (next === 'aside')
      this.asideAt = Date.now() + asideSeconds(await this.kept.setAside(batch[0]), Math.random()) * 1000;
    return true;
  }

  /** @returns {false} */
  #later() {
    this.failures += 1;
    this.soon(waitSeconds(this.failures, Math.random()));
    return false;
  }

  /** Only facts that were set aside are left: whether it is too early for them. */
  #rests() {
    const ms = this.asideAt - Date.now();
    if (ms > 0) this.soon(ms / 1000);
    return ms > 0;
  }

  /** What was answered for and refused when its turn came: asked once a page, and after each sending. */
  async #askLate() {
    const sent = this.kept.list().filter(({ fate }) => fate === 'heard').length;
    if (sent === this.asked) return;
    try {
      const answer = await fetch(`/facts/refused.json?device=${this.kept.device}`, {
        signal: AbortSignal.timeout(PATIENCE_MS),
        cache: 'no-store',
      });
      if (!answer.ok) return;
      await this.kept.hearLate((await answer.json()).refused);
      this.asked = this.kept.list().filter(({ fate }) => fate === 'heard').length;
    } catch { /* no connection: asked with the next sending */ }
  }

  /** @param {boolean} is */
  #signedIn(is) {
    if (this.signIn === !is) return;
    this.signIn = !is;
    this.told({ signIn: this.signIn });
  }

  /** @param {unknown[]} facts @returns {Promise<{status: number|null, answers?: unknown}>} */
  async #post(facts) {
    const body = JSON.stringify({ clock: localIso(new Date()), device: this.kept.device, facts });
    const headers = { 'Content-Type': 'application/json', 'X-CSRFToken': csrf() };
    try {
      const answer = await fetch('/facts', { method: 'POST', headers, body, signal: AbortSignal.timeout(PATIENCE_MS) });
      await leaveIfEnded(answer);
      return { status: answer.status, answers: answer.ok ? (await answer.json()).answers : undefined };
    } catch {
      return { status: null }; // no network, no answer in time, or one that broke off: not heard
    }
  }
}
