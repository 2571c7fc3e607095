// @ts-check
// Who is it?, across the exhibits of this phone: where is asked, what was read, by whom.

import { factMaker, newId } from '../shared/facts.js';
import { hueOrder, wornColours } from '../shared/legkeys.js';
import { wholeOf } from '../shared/open-leg.js';
import { anySeen, NOT_SURE, sitesOf, withSwap } from '../shared/sides.js';
import { identifyInStates, priorOfStates } from '../shared/lights.js';
import { placeFactors, usualFactors } from '../shared/places.js';
import { prepareFlock } from '../shared/reading.js';
import { lightOfOpenRound } from '../shared/rounds.js';
import { verdict } from '../shared/words.js';
import { PhotoDesk } from './photo-desk.js';
import { photoAnswer } from './photo-view.js';

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef {import('../shared/pack.js').Form} Form */
/** @typedef {import('../shared/pack.js').Flock} Flock */
/** @typedef {import('../shared/pack.js').Fact} Fact */
/** @typedef {import('../shared/pack.js').Reading} Reading */
/** @typedef {{light: import('../shared/lights.js').Light|'', mud: boolean|null}} SeenIn */
/** @typedef {{bird: Bird, flock: Flock, pack: Pack}} Known */

export class Who {
  /** @param {Pack[]} packs @param {import('./kept.js').Kept} kept @param {number} who */
  constructor(packs, kept, who) {
    this.packs = packs;
    this.kept = kept;
    this.who = who;
    /** @type {number|null} the exhibit that is asked; null is any */
    this.exhibit = null;
    /** @type {number|null} the place in it where the bird stands; null is anywhere */
    this.place = null;
    /** @type {SeenIn|null} said here once: it stays with the next bird; null until then */
    this.seenIn = null;
    /** @type {'legs'|'tall'|'wings'} */
    this.form = 'legs';
    /** @type {Reading} */
    this.reading = {};
    this.on = '';
    /** whether it was said which leg was seen, or that nobody can tell: it is asked first */
    this.legTold = false;
    /** whether it is a visitor's report: then an untrained reader's errors count */
    this.visitor = false;
    /** @type {number|null} the bird that was chosen */
    this.chosen = null;
    /** whether it was chosen from a photograph */
    this.pictured = false;
    /** @type {{packs: Pack[], key: string, states: ReturnType<typeof prepareFlock>[]}|null} */
    this.made = null;
    this.photo = new PhotoDesk(() => undefined);
    this.typed = '';
    /** @type {string} a loose band's colour */
    this.loose = '';
    this.said = '';
    /** @type {string[]} exhibits of the park that this phone has no pack of */
    this.lacking = [];
    this.trouble = '';
    this.make = factMaker({
      id: () => newId((bytes) => crypto.getRandomValues(bytes)),
      now: () => new Date(),
      by: () => this.who,
    });
    this.choose(this.forms()[0] || 'legs');
  }

  /** Every bird that is asked about. @returns {Known[]} */
  known() {
    const asked = this.packs.filter((pack) => this.exhibit === null || pack.exhibit.id === this.exhibit);
    return asked.flatMap((pack) => pack.flocks.flatMap((flock) => flock.birds.map((bird) => ({ bird, flock, pack }))));
  }

  /** The places of the exhibit that is asked; none while any is. @returns {{id: number, name: string}[]} */
  places() {
    return this.packs.find((pack) => pack.exhibit.id === this.exhibit)?.exhibit.places || [];
  }

  /** @returns {('legs'|'tall'|'wings')[]} what the birds asked about are banded on */
  forms() {
    const worn = new Set(this.known().map(({ flock }) => flock.form));
    return /** @type {const} */ (['legs', 'tall', 'wings']).filter((form) => worn.has(form));
  }

  /** Nothing read, nothing said of who told it: the next question. @param {'legs'|'tall'|'wings'} [form] */
  choose(form = this.form) {
    this.form = form;
    this.reading = {};
    this.visitor = false;
    this.legTold = false;
    this.on = '';
  }

  /** Which leg or wing was seen. Not sure which: it is read as the left, and either side will do.
   * @param {'left'|'right'|'unclear'} side */
  tellLeg(side) {
    const own = this.sites.filter((site) => site.startsWith(side === 'right' ? 'right' : 'left'));
    this.on = own.find((site) => this.form !== 'tall' || site.endsWith('tibia')) || own[0];
    if (side === 'unclear') this.reading = withSwap(this.reading, NOT_SURE);
    this.legTold = true;
  }

  /** @returns {string[]} */
  get sites() {
    return sitesOf(this.form);
  }

  /** @returns {'leg'|'wing'} */
  get limb() {
    return this.form === 'wings' ? 'wing' : 'leg';
  }

  /** What was said of the light in the roll call that is open in the exhibit that is asked. @returns {Fact|null} */
  roundLight() {
    const pack = this.packs.find((one) => one.exhibit.id === this.exhibit);
    return pack ? lightOfOpenRound(pack, this.kept.facts(), Date.now()) : null;
  }

  /** The light on the birds and the mud: said here, else at the roll call that is open there. @returns {SeenIn} */
  lit() {
    if (this.seenIn) return this.seenIn;
    const said = this.roundLight();
    if (!said) return { light: '', mud: null };
    return { light: /** @type {SeenIn['light']} */ (said.light || ''), mud: !!said.mud };
  }

  /** The birds that could wear what is looked at. @returns {Known[]} */
  banded() {
    const wings = this.form === 'wings';
    return this.known().filter(({ flock }) => flock.form !== 'told' && (flock.form === 'wings') === wings);
  }

  /** What is looked at: the colours worn there, look-alikes side by side.
   * @returns {import('./reading-keys.js').Looked} */
  looked() {
    const [pack] = this.packs,
      known = this.banded(),
      hues = hueOrder(Object.keys(pack.park.palette), pack.reader.confusion);
    return {
      sites: this.sites,
      limb: this.limb,
      whole: wholeOf([...new Set(known.map(({ flock }) => flock))]),
      colours: wornColours(known.map(({ bird }) => bird), hues),
    };
  }

  /** Who reads, in every light and mud; a visitor in a light that nobody can tell.
   * @returns {import('../shared/pack.js').Reader[]} */
  readers() {
    const [pack] = this.packs;
    if (this.visitor) return [pack.untrained || pack.reader];
    return [pack.reader, ...(pack.lights || []).map(({ reader }) => reader)];
  }

  /** The birds that are asked about as each reader reads them: made anew only when the question is another.
   * @param {Known[]} known */
  prepared(known) {
    const { made } = this, key = `${this.exhibit};${this.form === 'wings'};${this.visitor}`;
    if (made?.packs === this.packs && made.key === key) return made.states;
    const birds = known.map(({ bird }) => bird), states = this.readers().map((reader) => prepareFlock(birds, reader));
    this.made = { packs: this.packs, key, states };
    return states;
  }

  /** By how much each bird is likelier to be the one here and now; of what a visitor saw earlier, the one here.
   * @param {Known[]} known */
  usual(known) {
    if (this.visitor) return placeFactors(known.map(({ bird }) => bird.places), this.place);
    return usualFactors(known.map(({ bird }) => bird), this.place, new Date(), this.packs[0].park.zone);
  }

  /** Who it may be, and what is said of it. */
  answer() {
    const known = this.banded(), [pack] = this.packs, at = new Map(known.map((one) => [one.bird.id, one]));
    const states = this.prepared(known), { light, mud } = this.lit(), prior = priorOfStates(light, mud);
    const found = anySeen(this.reading)
      ? identifyInStates(states, prior.slice(0, states.length), [], this.reading, {
        strangers: pack.strangers,
        factors: this.usual(known),
      })
      : { candidates: [], noneOfThese: 1, lookNext: null };
    const candidates = found.candidates.map(({ id, chance }) => ({ ...(/** @type {Known} */ (at.get(id))), chance }));
    return {
      candidates,
      noneOfThese: found.noneOfThese,
      verdict: verdict({
        reading: this.reading,
        candidates,
        noneOfThese: found.noneOfThese,
        lookNext: found.lookNext,
        kind: 'bird',
        limb: this.limb,
        twoParts: this.form === 'tall',
      }),
    };
  }

  /** Whose legs a photograph may show. */
  photoOf() {
    const known = this.banded(), [pack] = this.packs, { sites, whole, limb } = this.looked();
    const { palette, faded = {}, camera } = pack.park, birds = known.map(({ bird }) => bird);
    return {
      birds,
      sites,
      whole,
      limb,
      palette,
      faded,
      camera,
      reader: pack.reader,
      strangers: pack.strangers,
      kind: 'bird',
      keeps: pack.park.pictures_days || 0,
      factors: this.usual(known),
      asked: `${this.exhibit};${this.place};${this.form};${this.packs.map(({ version }) => version).join()}`,
    };
  }

  /** Who the chosen bird may be and what was read, by the photograph or by the reading that it was chosen from. */
  told() {
    const found = this.pictured ? photoAnswer(this.photo, this.photoOf()) : null;
    if (!found)
      return this.pictured
        ? { candidates: [], noneOfThese: 1, reading: {} }
        : { ...this.answer(), reading: this.reading };
    const at = new Map(this.known().map((one) => [one.bird.id, one]));
    return {
      ...found,
      candidates: found.candidates.map(({ bird, chance }) => ({ ...(/** @type {Known} */ (at.get(bird.id))), chance })),
    };
  }

  /** @param {number|null} id @returns {Known|undefined} */
  find(id) {
    for (const pack of this.packs) {
      for (const flock of pack.flocks) {
        const bird = flock.birds.find((one) => one.id === id);
        if (bird) return { bird, flock, pack };
      }
    }
    return undefined;
  }

  /** Keep what was found out. Resolves once it is on the disk. @param {...Fact} facts */
  async keep(...facts) {
    await this.kept.put(...facts);
  }
}
