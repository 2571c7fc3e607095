// @ts-check
// Record, also without signal: what the address names, who writes, and what this phone holds.

import { factMaker, localIso, newId } from '../shared/facts.js';
import { allAsToldHere } from '../shared/told-here.js';

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef {import('../shared/deed-form.js').Deed} Deed */
/** @typedef {{deed: string, exhibit: number|null, bird: number|null, case: number|null}} Named */

export class Tell {
  /** @param {Pack[]} packs @param {import('./kept.js').Kept} kept @param {number} who @param {Deed[]} deeds
   * @param {{id: number, name: string}[]} exhibits */
  constructor(packs, kept, who, deeds, exhibits) {
    this.fetched = packs;
    this.packs = packs;
    this.kept = kept;
    this.who = who;
    this.deeds = deeds;
    this.exhibits = exhibits;
    this.trouble = '';
    this.said = '';
    /** @type {{name: string, says: string}[]} */
    this.wrong = [];
    /** what is to be confirmed before it is kept @type {Record<string, any>|null} */
    this.sure = null;
    /** the refused fact that what is kept next takes the place of @type {string|null} */
    this.mends = null;
    this.make = factMaker({
      id: () => newId((bytes) => crypto.getRandomValues(bytes)),
      now: () => new Date(),
      by: () => this.who,
    });
    this.refresh();
  }

  /** The packs with what was told here. */
  refresh() {
    this.packs = allAsToldHere(this.fetched, this.kept.list());
  }

  /** What the address names. @returns {Named} */
  get named() {
    const asked = new URLSearchParams(location.hash.slice(1)),
      number = (/** @type {string} */ key) => Number(asked.get(key)) || null;
    const bird = number('bird'), at = bird === null ? undefined : this.at(bird);
    return {
      deed: asked.get('deed') || '',
      exhibit: number('exhibit') ?? at?.exhibit.id ?? null,
      bird,
      case: number('case'),
    };
  }

  /** The pack of the exhibit in which a bird lives. @param {number} id @returns {Pack|undefined} */
  at(id) {
    return this.packs.find(({ flocks }) => flocks.some(({ birds }) => birds.some((bird) => bird.id === id)));
  }

  /** @param {number|null} id @returns {Bird|undefined} */
  bird(id) {
    return this.packs.flatMap(({ flocks }) => flocks.flatMap(({ birds }) => birds)).find((bird) => bird.id === id);
  }

  /** @returns {Pack|undefined} the exhibit that is asked about */
  get pack() {
    return this.packs.find(({ exhibit }) => exhibit.id === this.named.exhibit);
  }

  /** The birds to choose from: those of the exhibit, or of the park. @returns {Bird[]} */
  birds() {
    return (this.pack ? [this.pack] : this.packs).flatMap(({ flocks }) => flocks.flatMap(({ birds }) => birds));
  }

  /** @returns {Deed|undefined} */
  get deed() {
    return this.offered().find(({ name }) => name === this.named.deed);
  }

  /** The deeds that whoever is signed in may do. @returns {Deed[]} */
  offered() {
    const { role } = this.packs[0].person;
    return this.deeds.filter(({ roles }) => roles.includes(role));
  }

  /** What the server refused of the deeds of this page. @returns {import('../shared/outbox.js').Entry[]} */
  refused() {
    return this.kept.list().filter(({ fate, fact }) =>
      fate === 'refused' && this.deeds.some(({ name }) => name === fact.kind)
    );
  }

  /** The person's name. @returns {string} */
  get writer() {
    return this.packs[0].people.find(({ id }) => id === this.who)?.name || this.packs[0].person.name;
  }

  /** Keep a deed on this phone. Resolves once it is on the disk. @param {Deed} deed @param {Record<string, any>} keys
   * @param {string} at  as a time box has it, or empty for now */
  async keep(deed, keys, at) {
    const fact = this.make(deed.name, keys);
    if (at) fact.at = localIso(new Date(at));
    const old = this.refused().find(({ fact: { id, kind } }) => id === this.mends && kind === fact.kind);
    if (old) await this.kept.mend(old.fact.id, fact); else await this.kept.put(fact);
    this.mends = null;
    this.refresh();
  }
}
