// @ts-check
// One bird in hand on this phone: the pack, the bird, what was found so far. It survives a reload until it is released.

import { factMaker, localIso, newId } from '../shared/facts.js';
import { afterwards } from '../shared/fitting.js';
import { foundBefore, handling, takenInHand } from '../shared/in-hand.js';

/** @typedef {import('../shared/in-hand.js').Bird} Bird */
/** @typedef {import('../shared/in-hand.js').InHand} InHand */
/** @typedef {{id: number, on: string, exhibit: string, birds: number[], forbidden: string[], limits: string,
 * kit: {what: string, beside: string, short: boolean, birds: string[]}[], told: Record<string, string>}} CatchUp */
/** @typedef
 * {{format: number, version?: string, made_at: string, minutes: number, person: {id: number, name: string},
 * people: {id: number, name: string}[], park: {palette: Record<string, string>, letters: Record<string, string>},
 * words: Record<string, string[]>, cautions: Record<string, string>, shelves: Record<string,
 * import('../shared/fitting.js').Shelf>, whole?: Record<string, import('../shared/open-leg.js').Whole>, catch_ups:
 * CatchUp[], birds: Bird[]}} HandPack */

const KEPT_AS = 'in-hand', BEGUN_AS = 'in-hand-begun', PATIENCE_MS = 60000, AT_ONCE_MS = 1500, FORMAT = 3;

/** A fresh hand pack, kept on this phone; null where none could be had. @param {import('./store.js').Store} store
 * @returns {Promise<HandPack|null>} */
export async function fetchHandPack(store) {
  try {
    const kept = await store.phone(KEPT_AS);
    const headers = kept?.format === FORMAT && kept.version ? { 'If-None-Match': `"${kept.version}"` } : undefined;
    const answer = await fetch('/in-hand/pack.json', {
      signal: AbortSignal.timeout(PATIENCE_MS),
      cache: 'no-store',
      headers,
    });
    if (!answer.ok && answer.status !== 304) return null;
    // The same park as before: the pack is as good as new, and says so.
    const pack = answer.status === 304 ? { ...kept, made_at: localIso(new Date()) } : await answer.json();
    await store.setPhone(KEPT_AS, pack).catch(() => undefined); // no room to keep it: it serves while the page is open
    return pack;
  } catch {
    return null; // no network: the older one serves
  }
}

/** A hand pack to begin with: a fresh one if it comes at once, else the one that is kept; a first one is waited for.
 * @param {import('./store.js').Store} store
 * @returns {Promise<{pack: HandPack|null, later: Promise<HandPack|null>|null}>} */
export async function handPackNow(store) {
  /** @type {HandPack|undefined} */
  const kept = await store.phone(KEPT_AS),
    before = kept?.format === FORMAT ? kept : undefined,
    fresh = fetchHandPack(store);
  if (!before) return { pack: await fresh, later: null };
  const waited = new Promise((resolve) => {
    setTimeout(() => resolve(null), AT_ONCE_MS);
  });
  const pack = await Promise.race([fresh, /** @type {Promise<null>} */ (waited)]);
  return pack ? { pack, later: null } : { pack: before, later: fresh };
}

export class Hand {
  /** @param {HandPack} pack @param {import('./kept.js').Kept} kept @param {number} who */
  constructor(pack, kept, who) {
    this.kept = kept;
    /** @type {HandPack} */
    this.pack = this.afterOwn(pack);
    this.who = who;
    this.typed = '';
    this.said = '';
    this.trouble = '';
    /** whether newer records may still come */
    this.asking = false;
    /** @type {string} id of the refused fact that this one takes the place of */
    this.mends = '';
    /** who it may be by a photograph; none while no flock is on this phone @type {import('./who-state.js').Who|null} */
    this.finder = null;
    /** @type {Bird|null} */
    this.bird = null;
    /** @type {InHand} */
    this.found = takenInHand('', '');
    /** @type {{plan: number, bird: number, outcome: string, because: string}|null} a bird that is being told not
     * handled */
    this.miss = null;
    /** @type {Map<string, string>} what this page told of birds of a catch-up, by plan and bird */
    this.toldHere = new Map();
    this.make = factMaker({
      id: () => newId((bytes) => crypto.getRandomValues(bytes)),
      now: () => new Date(),
      by: () => this.who,
    });
  }

  /** @param {number} id @returns {Bird|undefined} */
  find(id) {
    return this.pack.birds.find((bird) => bird.id === id);
  }

  /** The pack after what this phone keeps and has not sent. @param {HandPack} pack @returns {HandPack} */
  afterOwn(pack) {
    return afterwards(
      pack,
      this.kept.list().filter(({ fate, fact }) => fate !== 'refused' && fact.kind === 'handling').map(({ fact }) =>
        fact
      ),
    );
  }

  /** What the shelf has in the size of a bird's species. @param {Bird} bird
   * @returns {import('../shared/fitting.js').Shelf} */
  shelf(bird) {
    return this.pack.shelves[bird.species] || { bands: [], runs: [] };
  }

  /** Take a bird in hand; what was begun with another is left. @param {number} id */
  take(id) {
    if (this.bird?.id === id) return;
    const planned = this.pack.catch_ups.some((plan) => plan.birds.includes(id));
    this.bird = this.find(id) || null;
    this.mends = '';
    this.found = takenInHand(localIso(new Date()), planned ? 'catch-up' : this.pack.words.why[0]);
    this.typed = '';
  }

  /** Keep what was found so far, so that a locked phone loses nothing. @returns {Promise<void>} */
  async remember() {
    await this.kept.store.setPhone(BEGUN_AS, this.bird && { bird: this.bird.id, found: this.found, mends: this.mends });
  }

  /** Go on where this phone stopped. @returns {Promise<void>} */
  async goOn() {
    const begun = await this.kept.store.phone(BEGUN_AS), bird = begun && this.find(begun.bird);
    if (!bird) return;
    this.bird = bird;
    this.found = { ...takenInHand('', ''), ...begun.found };
    this.mends = begun.mends || '';
  }

  /** Handlings that the server could not take, with its reason. @returns {import('../shared/outbox.js').Entry[]} */
  refused() {
    return this.kept.list().filter(({ fate, fact }) => fate === 'refused' && fact.kind === 'handling');
  }

  /** Open a refused handling again as it was found. @param {string} id */
  mend(id) {
    const entry = this.kept.entries.get(id), bird = entry && this.find(Number(entry.fact.bird));
    if (!entry || !bird) return;
    this.bird = bird;
    this.found = foundBefore(bird, entry.fact, this.shelf(bird).bands);
    this.mends = id;
  }

  /** What is known of a bird of a catch-up: what this phone told, else what the records had. @param {CatchUp} plan
   * @param {number} id */
  outcome(plan, id) {
    return this.toldHere.get(`${plan.id}-${id}`) || plan.told[String(id)] || '';
  }

  /** Say that a bird of a catch-up was not handled; it is on the disk before anything says so.
   * @returns {Promise<void>} */
  async tellMissed() {
    const { miss } = this;
    if (!miss) return;
    if (!miss.outcome) throw new Error('Say first what became of it: not caught, or let go unhandled.');
    if (!miss.because.trim()) throw new Error('Say why it was not handled.');
    const said = { catch_up: miss.plan, bird: miss.bird, outcome: miss.outcome, because: miss.because.trim() };
    await this.kept.put(this.make('not_handled', said));
    this.toldHere.set(`${miss.plan}-${miss.bird}`, `${said.outcome}: ${said.because}`);
    this.said = `${this.find(miss.bird)?.name || 'The bird'}: ${said.outcome}, kept on this phone.`;
    this.miss = null;
  }

  /** Release the bird: the handling is on the disk before anything says so. @returns {Promise<void>} */
  async letGo() {
    const bird = /** @type {Bird} */ (this.bird);
    const fact = this.make('handling', handling(bird, this.found));
    if (this.mends)
      await this.kept.mend(this.mends, { ...fact, at: this.kept.entries.get(this.mends)?.fact.at || fact.at });
    else await this.kept.put(fact);
    this.mends = '';
    this.pack = afterwards(this.pack, [fact]);
    for (const plan of this.pack.catch_ups)
      if (plan.birds.includes(bird.id)) this.toldHere.set(`${plan.id}-${bird.id}`, 'handled');
    const n = bird.bands.length, { size } = this.found.on;
    this.said = `${bird.name} released. ${n === 1 ? 'One band' : `${n} bands`} checked, ${
      size ? `${size} fitted, ` : ''
    }${this.found.weight ? `${this.found.weight.trim()} g, ` : ''}kept on this phone.`;
    this.bird = null;
    await this.remember();
  }
}
