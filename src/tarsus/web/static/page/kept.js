// @ts-check
// The outbox of this phone: a fact is on the disk before anything says that it happened.

import { afterAnswer, afterLateRefusal, countingFacts, keptHere, mayForget, setAside } from '../shared/outbox.js';
import { localIso, newId } from '../shared/facts.js';
import { Store } from './store.js';

/** @typedef {import('../shared/pack.js').Fact} Fact */
/** @typedef {import('../shared/outbox.js').Entry} Entry */

const FORGET_AFTER_DAYS = 3;

export class Kept {
  /** @param {Store} store @param {Entry[]} entries @param {string} device */
  constructor(store, entries, device) {
    this.store = store;
    this.device = device;
    this.entries = new Map(entries.map((entry) => [entry.fact.id, entry]));
    this.channel = new BroadcastChannel('tarsus-kept');
    this.channel.onmessage = ({ data }) => {
      if (data !== 'signed out') void this.reload();
      else if (document.body.dataset.signedOut === undefined) location.replace('/sign-in/');
    };
    /** @type {Set<() => void>} */
    this.watchers = new Set();
  }

  /** @returns {Promise<Kept>} */
  static async open() {
    const store = await Store.open();
    let device = await store.phone('device');
    if (!device) {
      device = newId((bytes) => crypto.getRandomValues(bytes));
      await store.setPhone('device', device);
    }
    const kept = new Kept(store, await store.entries(), device);
    await kept.#tidy();
    return kept;
  }

  /** Keep facts, all or none. Resolves once they are on the disk; only then may the page say that they happened.
   * @param {Fact[]} facts @returns {Promise<void>} */
  async put(...facts) {
    let order = this.#nextOrder();
    await this.#change(facts.map((fact) => ({ fact, fate: 'kept', order: order++, reason: '' })));
  }

  /** Take in what the server said. @param {Entry[]} batch @param {unknown} answers
   * @returns {Promise<number>} how many changed */
  async hear(batch, answers) {
    const changed = afterAnswer(
      batch.map((entry) => this.entries.get(entry.fact.id) || entry),
      answers,
      localIso(new Date()),
    );
    if (changed.length) await this.#change(changed);
    return changed.length;
  }

  /** Take in what the server could not write although it had answered for it. @param {unknown} refused
   * @returns {Promise<void>} */
  async hearLate(refused) {
    const changed = afterLateRefusal(this.list(), refused);
    if (changed.length) await this.#change(changed);
  }

  /** Sealed entries as they were before. @param {Entry[]} opened @returns {Promise<void>} */
  async unseal(opened) {
    if (opened.length) await this.#change(opened);
  }

  /** The server fails on this fact alone: it lets the others go first. @param {Entry} entry
   * @returns {Promise<Entry>} */
  async setAside(entry) {
    const aside = setAside(this.entries.get(entry.fact.id) || entry);
    await this.#change([aside]);
    return aside;
  }

  /** A refused fact gives way to a mended one, which is said anew under an id of its own.
   * @param {string} id @param {Fact} fact @returns {Promise<void>} */
  async mend(id, fact) {
    const old = this.entries.get(id);
    if (!old) return;
    const order = this.#nextOrder();
    /** @type {Entry[]} */
    const told = [{ ...old, fate: 'mended', mendedBy: fact.id }, { fact, fate: 'kept', order, reason: '' }];
    if (old.late) told.push({ fact: this.#setAside(old.fact, fact), fate: 'kept', order: order + 1, reason: '' });
    await this.#change(told);
  }

  /** @returns {Entry[]} */
  list() {
    return [...this.entries.values()];
  }

  /** @returns {Fact[]} */
  facts() {
    return countingFacts(this.list());
  }

  /** @returns {ReturnType<typeof keptHere>} */
  here() {
    return keptHere(this.list());
  }

  /** Facts that stand on this phone alone, as a file for the last resort. @returns {Blob} */
  file() {
    const entries = this.list().filter((entry) => entry.fate === 'kept' || entry.fate === 'refused');
    const facts = entries.sort((a, b) => a.order - b.order).map((entry) => entry.fact);
    return new Blob([JSON.stringify({ device: this.device, facts }, null, 1)], { type: 'application/json' });
  }

  async reload() {
    this.entries = new Map((await this.store.entries()).map((entry) => [entry.fact.id, entry]));
    this.#tell();
  }

  /** @param {Entry[]} entries */
  async #change(entries) {
    await this.store.putEntries(entries);
    for (const entry of entries) this.entries.set(entry.fact.id, entry);
    this.channel.postMessage('changed');
    this.#tell();
  }

  /** The server keeps a fact that it refused late until somebody says what became of it. @param {Fact} old
   * @param {Fact} mended @returns {Fact} */
  #setAside(old, mended) {
    const id = newId((bytes) => crypto.getRandomValues(bytes));
    return {
      id,
      kind: 'set_aside',
      at: localIso(new Date()),
      by: mended.by,
      waiting: old.id,
      because: 'told anew on its phone',
    };
  }

  #nextOrder() {
    return Math.max(Date.now() * 1000, ...this.list().map((entry) => entry.order + 1));
  }

  #tell() {
    for (const watcher of this.watchers) watcher();
  }

  async #tidy() {
    const open = new Set(this.list().filter((entry) => entry.fate === 'kept').map((entry) => entry.fact.round || ''));
    const gone = this.list().filter((entry) => mayForget(entry, open, Date.now(), FORGET_AFTER_DAYS));
    if (!gone.length) return;
    await this.store.forgetEntries(gone.map((entry) => entry.fact.id));
    for (const entry of gone) this.entries.delete(entry.fact.id);
  }
}
