// @ts-check
// Learn the flock, on one phone: who is shown, how, what was answered. Kept for this person on this phone, and sent
// nowhere unless they share it.

import { LIGHTS } from '../shared/lights.js';
import {
  answered,
  confusedWith,
  newSession,
  nextBird,
  NOTHING_LEARNT,
  readiness,
  sharedOf,
} from '../shared/practice.js';
import { sceneFor } from '../shared/through-glasses.js';
import { factMaker, newId } from '../shared/facts.js';
import { flockOf } from '../shared/pack.js';
import { anySeen } from '../shared/sides.js';
import { sharesAsToldHere } from '../shared/told-here.js';
import { preparedFlock } from './roll-call-model.js';

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef {import('../shared/pack.js').Reading} Reading */

export const METRES = [10, 30, 60, 90], SECONDS = [2, 4, 8, 0];
/** Practice is shared anew after so many answers. */
const SHARED_EVERY = 10;
const USUAL = { metres: 30, seconds: 8, light: 'any' };

export class Practice {
  /** @param {Pack} pack @param {import('./kept.js').Kept} kept */
  constructor(pack, kept) {
    this.pack = pack;
    this.kept = kept;
    this.store = kept.store;
    this.make = factMaker({
      id: () => newId((bytes) => crypto.getRandomValues(bytes)),
      now: () => new Date(),
      by: () => pack.person.id,
    });
    /** whether this person shares their practice: as the register says, or as was told here since */
    this.shares = sharesAsToldHere(pack, kept.list());
    /** answers given since practice was last shared */
    this.unshared = 0;
    this.lookalike = pack.flocks.find(({ form }) => form !== 'told')?.lookalike || '';
    /** @type {import('../shared/practice.js').Learnt} */
    this.learnt = NOTHING_LEARNT;
    this.session = newSession();
    this.how = { ...USUAL };
    /** @type {Bird|null} */
    this.bird = null;
    /** @type {import('../shared/through-glasses.js').Scene} */
    this.scene = { facing: 'away', hidden: '', grass: false, light: 'bright' };
    /** whether the bird has walked out of sight */
    this.gone = false;
    /** @type {{bird: Bird, said: Bird|null, right: boolean}|null} the last answer */
    this.last = null;
    this.trouble = '';
    /** @type {Reading} */
    this.reading = {};
    /** @type {import('./roll-call-state.js').RollCall['facing']} */
    this.facing = '';
    this.drawn = () => {};
    /** @type {ReturnType<typeof setTimeout>|undefined} */
    this.clock = undefined;
  }

  get keptAs() {
    return `practice ${this.pack.person.id} ${this.pack.exhibit.id}`;
  }

  get flock() {
    return flockOf(this.pack, this.lookalike);
  }

  get birds() {
    return this.flock.birds.filter((bird) => Object.values(bird.marks).some((bands) => bands.length));
  }

  /** What is kept here of earlier practice. */
  async open() {
    const kept = await this.store.phone(this.keptAs);
    if (kept) {
      this.learnt = kept.learnt;
      this.how = { ...USUAL, ...kept.how };
    }
  }

  /** Share from now on, or take back all that was shared. @param {boolean} on */
  async share(on) {
    await this.kept.put(this.make('practice_sharing', { on }));
    this.shares = on;
    if (on) await this.#tell();
  }

  async #tell() {
    this.unshared = 0;
    const { lookalike, pack } = this,
      shared = sharedOf(this.learnt.answers, new Map(this.birds.map(({ id, marks }) => [id, marks])));
    await this.kept.put(this.make('practice_shared', { exhibit: pack.exhibit.id, lookalike, ...shared }));
  }

  async keep() {
    await this.store.setPhone(this.keptAs, { learnt: this.learnt, how: this.how });
  }

  /** Another species. @param {string} lookalike */
  turnTo(lookalike) {
    this.lookalike = lookalike;
    this.unshared = 0;
    this.session = newSession();
    this.bird = null;
    this.last = null;
  }

  /** The next bird walks by. */
  next() {
    const { birds } = this, { states, looked } = preparedFlock(this.pack, this.flock);
    if (birds.length < 2) {
      this.bird = null;
      return;
    }
    const by = { now: Date.now(), chance: Math.random() };
    const id = nextBird(birds.map((bird) => bird.id), this.learnt, this.#confused(states[0]), this.session, by);
    const bird = /** @type {Bird} */ (birds.find((one) => one.id === id)),
      others = birds.filter((one) => one !== bird).map(({ marks }) => marks);
    const lights = this.how.light === 'any' ? LIGHTS : [/** @type {any} */ (this.how.light)];
    this.scene = sceneFor(bird.marks, others, looked.sites, [...lights], Math.random);
    this.bird = bird;
    this.reading = {};
    this.facing = this.scene.facing;
    this.look();
  }

  /** It is in sight for so many seconds. */
  look() {
    this.gone = false;
    clearTimeout(this.clock);
    if (this.how.seconds)
      this.clock = setTimeout(() => {
        this.gone = true;
        this.drawn();
      }, this.how.seconds * 1000);
  }

  /** @type {WeakMap<object, Map<number, number>>} */
  #made = new WeakMap();

  /** @param {import('../shared/reading.js').PreparedFlock} flock */
  #confused(flock) {
    let made = this.#made.get(flock);
    if (!made) this.#made.set(flock, made = confusedWith(flock));
    return made;
  }

  /** The answer: a name, or nobody. Kept before anything says whether it was right. @param {number|null} said */
  async answer(said) {
    const { bird } = this;
    if (!bird) return;
    const { learnt, session, right } = answered(this.learnt, this.session, {
      bird: bird.id,
      said,
      at: Date.now(),
      ...(anySeen(this.reading) ? { read: this.reading } : {}),
    });
    this.learnt = learnt;
    this.session = session;
    await this.keep();
    this.unshared += 1;
    if (this.shares && this.unshared >= SHARED_EVERY) await this.#tell();
    clearTimeout(this.clock);
    this.last = { bird, said: this.flock.birds.find(({ id }) => id === said) || null, right };
    this.bird = null;
    if (right) this.next();
  }

  /** How ready this person is for this flock. */
  ready() {
    return readiness(this.learnt.answers, new Set(this.birds.map(({ id }) => id)));
  }

  // What roll call's own keys and tiles ask of the page they stand on: nobody was seen here.
  seen() {
    return false;
  }

  doubtful() {
    return false;
  }

  readOnce() {
    return false;
  }
}
