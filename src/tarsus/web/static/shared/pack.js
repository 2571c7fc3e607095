// @ts-check
// The pack of one exhibit and the facts of a round, as docs/reference/pack-and-facts.md fixes them: the types, and a
// few plain questions put to a pack.

/**
 * @typedef {Record<string, string[]>} Marks              site to bands, from the body outward; missing is bare
 * @typedef {Record<string, string[]|null> & {swap?: any, plumage?: any}} Reading   site to bands; missing or null is
 * not seen, [] is
 *   seen bare, '?' a band not made out, '*' any number of bands not made out · swap: the chance that left and right are
 *   exchanged in this reading, in place of the reader's · plumage: young or grown, where somebody said
 * @typedef {{text: string, x: number, y: number, photographed?: string|null, review_by?: string|null}} NaturalMark
 * @typedef {object} Bird
 * @property {number} id
 * @property {string} name
 * @property {string} sex
 * @property {string} species
 * @property {Marks} marks
 * @property {Record<string, string[]>} flags
 * @property {string} engraving                  the metal's number, else another band's; empty where none has one
 * @property {Record<string, string[]>} [numbers]   beside marks, the number on each band; sites where none has one are
 * left out
 * @property {NaturalMark[]} natural_marks
 * @property {number} prior
 * @property {Record<string, number>} places     place id to the share of its sightings made there
 * @property {Partial<Record<'morning'|'midday'|'evening', number>>} [times]   by how much it is likelier to be the one
 * at that time of day
 * @property {number} [young]                    chance that somebody says it is in young plumage; none where nobody can
 * tell
 * @property {boolean} counted
 * @property {{at: string, place: number|null, how: string}|null} last_seen
 * @property {number} unseen_days
 * @property {number} max_unseen_days
 * @property {'present'|'look again'|'search'} advice
 * @property {number} still_here
 * @property {number} [usual]                    chance of being seen in an ordinary round
 * @property {number} [if_missed]                chance that it is still here should the next round miss it
 * @property {number} [looks_needed]
 * @property {string} [excused]                  why nobody looks for it: on a nest, in moult; empty otherwise
 * @property {string} [whereabouts]              empty where it should be; else missing, escaped …
 * @property {Case[]} [cases]                    the vet's open cases about it
 * @property {{treatment: string, what: string}[]} [treatments]   what goes on, to be looked at again
 * @typedef {{case: number, about: string, of: number, do: string}} Case   of: about so many birds · do: what the vet
 * wants done, or empty
 *
 * @typedef {'legs'|'tall'|'wings'|'told'} Form
 * @typedef
 * {{lookalike: string, species: string, kinds?: Named[], form: Form, counted: number, carcases?: number,
 * whole?: Record<string, number>, birds: Bird[]}} Flock
 *   kinds: its species · counted: how many a count should find · carcases: found without bands, so that nobody knows
 * yet who it was ·
 *   whole: how many bands make a site whole; a reading of fewer is open
 * @typedef {{id: number, name: string}} Named
 * @typedef {{swap: number, flip: number, overlook: number, lost: number,
 *            confusion: Record<string, Record<string, number>>}} Reader
 * @typedef {object} Pack
 * @property {number} format
 * @property {string} version
 * @property {string} made_at
 * @property
 * {{name: string, zone?: string, letters: Record<string, string>, palette: Record<string, string>,
 * faded?: Record<string, string>, camera?: import('./photograph.js').Camera, pictures_days?: number}} park
 * @property {{id: number, name: string, role: string, shares_practice?: boolean}} person
 * @property {Named[]} people
 * @property {{id: number, name: string, places: Named[]}} exhibit
 * @property {import('./search-walk.js').Plan | null} [plan]   what is drawn of the exhibit and where its places are;
 * none where nobody drew it
 * @property {Reader} reader
 * @property {{light: 'bright'|'dull'|'dusk', mud: boolean, reader: Reader}[]} [lights]   the reader in every light but
 * the first, bright and clean
 * @property {Reader} [untrained]   an untrained reader over the same colours: for what a visitor tells
 * @property {number} strangers
 * @property {Flock[]} flocks
 * @property {Fact[]} [told]   what phones told of this exhibit's roll calls: of today all of it, open or over, of the
 * days
 *   before how they went
 * @property {string[]} concerns
 * @property {{id: string, at: string, told_by: string, said: string, birds: number[]}[]} [reports]   what visitors
 * told, not looked into
 *
 * @typedef {{bird: number, chance: number}} Candidate
 * @typedef {object} Fact
 * @property {string} id
 * @property {string} kind
 * @property {string} at
 * @property {number} by
 * @property {string|null} [heard]   when the register heard of it; a phone does not know that of its own
 * @property {string|null} [round]
 * @property {number} [exhibit]
 * @property {string|null} [lookalike]
 * @property {number} [counted]
 * @property {string|null} [group]
 * @property {number|null} [place]
 * @property {number} [size]
 * @property {boolean} [flew]
 * @property {number|null} [bird]
 * @property {'by sight'|'by reading'|'inferred'|null} [how]
 * @property {Reading|null} [reading]
 * @property {Candidate[]} [candidates]
 * @property {number|null} [none_of_these]
 * @property {number|null} [position]
 * @property {boolean} [photographed]            read in a photograph
 * @property {string} [corrects]
 * @property {string} [because]
 * @property {string|null} [sighting]
 * @property {number[]} [birds]
 * @property {string[]} [seen]
 * @property {string|null} [side]
 * @property {string|null} [note]
 * @property {string} [what]
 * @property {string|null} [colour]
 * @property {string|null} [engraving]
 * @property {boolean} [tell_vet]
 * @property {string} [told_by]
 * @property {string} [said]
 * @property {string} [waiting]
 * @property {'bright'|'dull'|'dusk'} [light]
 * @property {boolean} [mud]
 * @property {number[]} [came]
 * @property {number} [to_exhibit]
 * @property {number|null} [species]
 * @property {string} [state]
 * @property {boolean} [on]
 * @property {string} [picture]                 a JPEG in base64
 * @property {boolean} [own_camera]
 * @property {Record<string, unknown>} [taps]
 * @property {boolean} [ready]
 * @property {{read: Reading, worn: Marks}[]} [answers]
 */

/** The flock of one look-alike group; the first where none is named so.
 * @param {Pack} pack @param {string} lookalike @returns {Flock} */
export function flockOf(pack, lookalike) {
  return pack.flocks.find((flock) => flock.lookalike === lookalike) || pack.flocks[0];
}

/** The bird of one id with the flock it stands in, or null.
 * @param {Pack} pack @param {number} id @returns {{bird: Bird, flock: Flock}|null} */
export function birdOf(pack, id) {
  for (const flock of pack.flocks) {
    const bird = flock.birds.find((one) => one.id === id);
    if (bird) return { bird, flock };
  }
  return null;
}

/** Rolls that were asked for: a pack does not change. @type {WeakMap<Flock, Bird[]>} */
const rolls = new WeakMap();

/** The birds of a flock that a count counts: chicks that do not count yet are left out.
 * @param {Flock} flock @returns {Bird[]} */
export function onTheRoll(flock) {
  let roll = rolls.get(flock);
  if (!roll) {
    roll = flock.birds.filter((bird) => bird.counted);
    rolls.set(flock, roll);
  }
  return roll;
}

/** The place where a bird is seen most, or null where it has none.
 * @param {Bird} bird @returns {number|null} */
export function usualPlace(bird) {
  let best = null, share = 0;
  for (const [place, chance] of Object.entries(bird.places)) {
    if (chance > share) {
      best = Number(place);
      share = chance;
    }
  }
  return best;
}

/** What changed in the flocks between two packs, in words; empty where nothing did.
 * @param {Pack} before @param {Pack} after @returns {string} */
export function changesIn(before, after) {
  const named = (/** @type {Pack} */ pack) =>
    new Map(pack.flocks.flatMap((flock) => flock.birds.map((bird) => [bird.id, bird])));
  const was = named(before), is = named(after);
  const come = [...is.values()].filter(({ id }) => !was.has(id)).map(({ name }) => name);
  const gone = [...was.values()].filter(({ id }) => !is.has(id)).map(({ name }) => name);
  const marked = [...is.values()].filter((bird) =>
    was.has(bird.id) && JSON.stringify(was.get(bird.id)?.marks) !== JSON.stringify(bird.marks)
  ).map(({ name }) => name);
  const told = (
    /** @type {string[]} */ names,
    /** @type {string} */ one,
    /** @type {string} */ many,
  ) => (names.length
    ? `${names.slice(0, 4).join(', ')}${names.length > 4 ? ` and ${names.length - 4} more` : ''} ${
      names.length > 1 ? many : one
    }.`
    : '');
  return [
    told(come, 'has come into this exhibit', 'have come into this exhibit'),
    told(gone, 'has left this exhibit', 'have left this exhibit'),
    told(marked, 'wears other marks now', 'wear other marks now'),
  ].filter(Boolean).join(' ');
}
