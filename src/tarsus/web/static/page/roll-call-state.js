// @ts-check
// One roll call on one phone: the pack, the facts, and what the keeper is doing right now. Every act is kept as a fact
// before it counts; what stands here beside the facts is only where the keeper looks.

import { clockOf, factMaker, newId } from '../shared/facts.js';
import { birdOf, changesIn, flockOf } from '../shared/pack.js';
import { lastOwn, observed, roundState, toReopen } from '../shared/round.js';
import { asToldHere } from '../shared/told-here.js';
import { PhotoDesk } from './photo-desk.js';
import { openRound } from '../shared/rounds.js';

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('../shared/pack.js').Fact} Fact */
/** @typedef {import('../shared/pack.js').Reading} Reading */
/** @typedef {import('./kept.js').Kept} Kept */

export class RollCall {
  /** @param {Pack} pack @param {Kept} kept @param {number} who @param {Pack[]} [others] */
  constructor(pack, kept, who, others = []) {
    /** the pack as it was fetched, and those of the other exhibits: birds may have come from there */
    this.fetched = pack;
    this.others = others;
    this.pack = asToldHere(pack, kept.list(), others);
    this.kept = kept;
    this.who = who;
    this.lookalike = pack.flocks[0]?.lookalike || '';
    /** where the birds in view are, as somebody tapped it; null until then @type {number|null} */
    this.place = null;
    /** @type {Reading} */
    this.reading = {};
    /** @type {''|'left'|'right'|'away'|'me'} */
    this.facing = '';
    /** the site that the next colour goes to */
    this.on = '';
    /** the sighting that the strip shows @type {string|null} */
    this.last = null;
    this.photo = new PhotoDesk(() => undefined);
    /** what each state keeps of its own while it is on the screen @type {Record<string, any>} */
    this.desk = {};
    /** a past round that is being typed in from its paper sheet @type {import('../shared/rounds.js').Calling|null} */
    this.past = null;
    /** the time at which things are said to have happened; null is now (set while the paper sheet is typed in)
     * @type {Date|null} */
    this.backdated = null;
    this.trouble = '';
    this.notice = '';
    this.make = factMaker({
      id: () => this.newId(),
      now: () => this.backdated || new Date(),
      by: () => this.who,
    });
    /** today's latest call, where it is over and no other is begun: what the page then shows
     * @type {import('../shared/calls.js').RollCall|null} */
    this.over = null;
    /** that another call is to be begun although one is over */
    this.another = false;
    this.fresh = this.newId();
    this.round = openRound(pack, [], { now: Date.now(), fresh: this.fresh });
    this.state = roundState(this.round.ids, [], []);
    /** @type {Set<string>} ids of the facts that this phone made */
    this.own = new Set();
    this.refresh();
  }

  /** @returns {import('../shared/calls.js').When} */
  get when() {
    return { now: Date.now(), zone: this.pack.park.zone };
  }

  newId() {
    return newId((bytes) => crypto.getRandomValues(bytes));
  }

  /** Read the round anew out of all facts. */
  refresh() {
    this.pack = asToldHere(this.fetched, this.kept.list(), this.others);
    const own = this.kept.facts(), calling = openRound(this.pack, own, { now: Date.now(), fresh: this.fresh });
    this.round = this.past || calling;
    if (calling.started) this.another = false;
    this.over = this.past || this.another ? null : calling.over;
    this.own = new Set(own.map((fact) => fact.id));
    const ids = this.over ? new Set(this.over.rounds.map(({ id }) => id)) : this.round.ids;
    const searched = this.pack.flocks.flatMap(({ birds }) =>
      birds.filter(({ advice }) => advice === 'search').map(({ id }) => id)
    );
    this.state = roundState(ids, calling.calls, [...calling.theirs, ...own], searched);
    const standing = this.state.sightings.some((fact) => fact.id === this.last);
    if (!standing) this.last = lastOwn(this.state, this.own)?.id ?? null;
  }

  /** A newer pack. What changed in the flock meanwhile is told, not guessed. @param {Pack} pack */
  takePack(pack) {
    const told = changesIn(this.pack, pack), wasOpen = this.round.started && !this.over;
    if (told) this.notice = told;
    if (pack.person.id !== this.pack.person.id) this.who = pack.person.id; // somebody else signed in
    this.fetched = pack;
    if (!pack.flocks.some((flock) => flock.lookalike === this.lookalike))
      this.lookalike = pack.flocks[0]?.lookalike || '';
    if (!pack.exhibit.places.some((place) => place.id === this.place)) this.place = null;
    this.refresh();
    const { closedBy, closedAt } = this.state;
    if (wasOpen && this.over && closedBy !== null && closedAt)
      this.notice = `${this.personOf(closedBy)} closed this round at ${clockOf(closedAt)}.`;
  }

  /** What was last said of the light on the birds. @returns {Fact|null} */
  get light() {
    return this.state.light;
  }

  get flock() {
    return flockOf(this.pack, this.lookalike);
  }

  /** The sighting that the strip shows. @returns {Fact|undefined} */
  get lastSighting() {
    return this.state.sightings.find((fact) => fact.id === this.last);
  }

  /** @param {number} bird @returns {boolean} */
  seen(bird) {
    return observed(this.state, bird);
  }

  /** Whether a bird was named by readings none of which was sure enough. @param {number} bird @returns {boolean} */
  doubtful(bird) {
    const seen = this.state.seen.get(bird);
    return !!seen && !seen.sure && seen.how === 'by reading';
  }

  /** Whether a bird on *search* was read, and once only: it is still searched for. @param {number} bird
   * @returns {boolean} */
  readOnce(bird) {
    return !!this.state.seen.get(bird)?.once;
  }

  /** @param {number|null|undefined} id @returns {string} */
  nameOf(id) {
    return (typeof id === 'number' && birdOf(this.pack, id)?.bird.name) || 'a bird not named';
  }

  /** @param {number|null|undefined} id @returns {string} the place's name; empty where none was tapped */
  placeOf(id) {
    return this.pack.exhibit.places.find((place) => place.id === id)?.name || '';
  }

  /** @param {number} id @returns {string} */
  personOf(id) {
    return this.pack.people.find((person) => person.id === id)?.name || 'somebody else';
  }

  /** Keep what happened. Starts the round when it has not begun. Resolves once it is on the disk.
   * @param {[string, Partial<Fact>][]} acts  kind and keys, in order @returns {Promise<Fact[]>} */
  async keep(...acts) {
    const facts = [];
    if (!this.round.started) {
      facts.push(this.make('round_started', { round: this.round.id, exhibit: this.pack.exhibit.id }));
    }
    for (const [kind, keys] of acts)
      facts.push(
        this.make(
          kind,
          ['withdrawn', 'concern', 'photograph'].includes(kind) ? keys : { round: this.round.id, ...keys },
        ),
      );
    await this.kept.put(...facts);
    if (this.past) this.past.started = true;
    this.refresh();
    return facts;
  }

  /** The keys that every sighting has. @param {Partial<Fact>} keys @returns {[string, Partial<Fact>]} */
  sighting(keys) {
    return ['sighting', {
      exhibit: this.pack.exhibit.id,
      bird: null,
      lookalike: this.lookalike,
      how: null,
      reading: null,
      candidates: [],
      none_of_these: null,
      group: null,
      position: null,
      place: this.place,
      ...keys,
    }];
  }

  /** Write one sighting down; the strip then shows it. @param {Partial<Fact>} keys @returns {Promise<Fact>} */
  async see(keys) {
    const kept = await this.keep(this.sighting(keys));
    const fact = kept[kept.length - 1];
    this.last = fact.id;
    return fact;
  }

  /** Take back the sighting that the strip shows. @returns {Promise<void>} */
  async undo() {
    if (!this.last) return;
    await this.keep(['withdrawn', { corrects: this.last, because: 'undone on the phone' }]);
  }

  /** Other birds come into view: what was tapped of the ones before says nothing of them. @param {string} lookalike */
  turnTo(lookalike) {
    if (lookalike !== this.lookalike) this.place = null;
    this.lookalike = lookalike;
    this.photo.retake();
    this.forget();
  }

  /** The phone changed hands. @param {number} who */
  inHandsOf(who) {
    this.who = who;
    this.place = null;
  }

  /** The round is over: what is kept from now on belongs to another. */
  nextRound() {
    this.fresh = this.newId();
    this.last = null;
    this.place = null;
    this.desk = {};
    this.forget();
    this.refresh();
  }

  /** Another call, beside the one that is over. */
  beginAnother() {
    this.another = true;
    this.nextRound();
  }

  /** The call that is over is opened again, with all that was told in it. */
  async reopen() {
    const again = toReopen(this.state, this.when).map((round) => this.make('round_reopened', { round }));
    await this.kept.put(...again);
    this.desk = {};
    this.refresh();
  }

  /** A past round is typed in: what is kept belongs to it and happened then. @param {Date} at */
  beginPast(at) {
    const id = this.newId();
    this.past = { id, ids: new Set([id]), open: new Set([id]), started: false, theirs: [], over: null, calls: [] };
    this.backdated = at;
    this.last = null;
    this.desk = {};
    this.refresh();
  }

  /** Back to the round of now. */
  endPast() {
    this.past = null;
    this.backdated = null;
    this.desk = {};
    this.last = null;
    this.refresh();
  }

  /** Nothing read, no side chosen: the next bird. */
  forget() {
    this.reading = {};
    this.facing = '';
    this.on = '';
  }
}
