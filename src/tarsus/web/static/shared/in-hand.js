// @ts-check
// Decisions while a bird is in hand: whose number this is, whether it is the wrong bird, what a weight says, when it
// may go, and the fact that is sent.

import { putOn, toFit, unfinished, whyOff } from './fitting.js';
import { anySeen } from './sides.js';
import { judged } from './weights.js';

/** @typedef
 * {{id: number, site: string, word: string, kind: string, engraving: string, size: string, temporary: boolean,
 * certified: boolean, conditions: string[]}} Band */
/** @typedef {{what: string, why: string, caution: string}} Due */
/** @typedef
 * {{id: number, name: string, species: string, lookalike: string, form: string, sex: string, exhibit: string,
 * quarantine: boolean, engraving: string, transponder: string, chews: boolean, marks: Record<string, string[]>, flags:
 * Record<string, string[]>, natural_marks: {text: string, x: number|null, y: number|null}[], bands: Band[], planned:
 * import('./fitting.js').Plan|null, waits?: boolean, usual_g: number|null, before_g: number|null, months: [number,
 * number][], side_before: number, prompt_percent: number, alarm_percent: number, low_g: number|null, high_g:
 * number|null, moulting: boolean, last_g: {on: string, g: number}[], due: Due[]}} Bird */
/** @typedef {import('./fitting.js').Stock} Stock */
/** @typedef
 * {{why: string, before: {reading: import('./pack.js').Reading, on: string}, number: string, conditions: Map<number,
 * string>, replaced: Map<number, Stock>, off: Map<number, string>, on: Map<string, import('./fitting.js').Fitted>,
 * fitting: Set<string>, first: string, weight: string, fed: boolean|null, nails: string, sample: string, label: string,
 * stood: boolean, walked: boolean, lame: boolean, note: string, tellVet: boolean, startedAt: string, agreed:
 * boolean}} InHand */

export const FITTING = ['slides and turns', 'stops at the joint', 'ends square, no gap', 'no feather or skin caught'];
const GONE = 'missing', GOOD = 'good';

/** A bird just taken in hand. @param {string} startedAt @param {string} why @returns {InHand} */
export function takenInHand(startedAt, why) {
  return {
    why,
    before: { reading: {}, on: '' },
    number: '',
    conditions: new Map(),
    replaced: new Map(),
    off: new Map(),
    on: new Map(),
    fitting: new Set(),
    first: '',
    weight: '',
    fed: null,
    nails: '',
    sample: '',
    label: '',
    stood: false,
    walked: false,
    lame: false,
    note: '',
    tellVet: false,
    startedAt,
    agreed: false,
  };
}

/** A number without what is not read: blanks, dots, dashes; letters in capitals. @param {string} text
 * @returns {string} */
export const bare = (text) => text.toUpperCase().replace(/[^0-9A-Z]/g, '');

/** Birds whose metal or transponder has what was typed, or whose name begins with it; whole numbers, then last signs
 * first.
 * @param {Bird[]} birds @param {string} typed @returns {Bird[]} */
export function found(birds, typed) {
  const number = bare(typed), name = typed.trim().toLowerCase();
  if (!number) return [];
  const digits = /\d/.test(number);
  const fits = birds.filter((
    bird,
  ) => (digits ? numbers(bird).some((own) => own.includes(number)) : bird.name.toLowerCase().startsWith(name)));
  const whole = (
    /** @type {Bird} */ bird,
  ) => (numbers(bird).includes(number) ? 0 : numbers(bird).some((own) => own.endsWith(number)) ? 1 : 2);
  return fits.sort((a, b) => whole(a) - whole(b) || a.name.localeCompare(b.name));
}

/** @param {Bird} bird @returns {string[]} */
const numbers = (bird) => [...bird.bands.map((band) => band.engraving), bird.transponder].map(bare).filter(Boolean);

/** What is amiss with the bird itself, before anything is saved; null where the bands are those of the record.
 * @param {Bird} bird @param {InHand} hand @param {Bird[]} birds
 * @returns {{says: string, other: Bird|null}|null} */
export function wrongBird(bird, hand, birds) {
  const number = bare(hand.number), own = numbers(bird);
  if (number && !own.some((one) => one.endsWith(number))) {
    const others = birds.filter((one) => numbers(one).some((own) => own.endsWith(number)));
    const [other] = others;
    if (other && others.length === 1)
      return { says: `${hand.number.trim()} is ${other.name}'s, not ${bird.name}'s. Look which bird this is.`, other };
    return {
      says: `${bird.name} has ${
        own.length ? `${bird.engraving || bird.transponder} on record` : 'no number on record'
      }, and you read ${hand.number.trim()}. Look again before you go on.`,
      other: null,
    };
  }
  const gone = bird.bands.filter((band) => hand.conditions.get(band.id) === GONE);
  if (gone.length > 1 && gone.length * 2 > bird.bands.length) {
    return {
      says: `${gone.length} of ${bird.bands.length} bands of the record are not on this bird. Is it ${bird.name}?`,
      other: null,
    };
  }
  return null;
}

/** @param {string} text @returns {number|null} grams; null where nothing that can be a weight is typed */
export function grams(text) {
  const value = Number(text.trim().replace(',', '.'));
  return text.trim() && Number.isFinite(value) && value > 0 && value < 200000 ? value : null;
}

/** What the weight typed says; the first one of this handling, where it was taken again, counts as the weighing before.
 * @param {Bird} bird @param {InHand} hand @returns {import('./weights.js').Judged} */
export function weightSays(bird, hand) {
  const now = grams(hand.weight), first = grams(hand.first);
  if (now === null) return { prompt: 'nothing', side: 0, percent: null, says: '' };
  const { usual_g, before_g, months, side_before } = bird, against = { usual_g, before_g, months, side_before };
  return judged(
    now,
    bird.moulting,
    first === null ? against : { ...against, side_before: judged(first, bird.moulting, against, bird).side },
    bird,
  );
}

/** Bands not looked at yet. @param {Bird} bird @param {InHand} hand @returns {Band[]} */
export const unchecked = (bird, hand) =>
  bird.bands.filter((band) => !hand.conditions.has(band.id) && !hand.off.has(band.id));

/** Whether the bird may go, and what stands under the deed. @param {Bird} bird @param {InHand} hand
 * @param {Bird[]} birds
 * @returns {{ready: boolean, under: string}} */
export function release(bird, hand, birds) {
  if (wrongBird(bird, hand, birds) && !hand.agreed) return { ready: false, under: 'which bird is it?' };
  const left = unchecked(bird, hand).length;
  if (left) return { ready: false, under: left === 1 ? 'one band not looked at' : `${left} bands not looked at` };
  const fitted = unfinished(hand);
  if (fitted) return { ready: false, under: fitted };
  if ((hand.replaced.size || hand.on.size) && hand.fitting.size < FITTING.length)
    return { ready: false, under: 'the new bands: all four checks' };
  if (hand.sample && !hand.label.trim()) return { ready: false, under: 'the sample has no label' };
  if (hand.lame)
    return hand.tellVet
      ? { ready: true, under: 'lame, vet told' }
      : { ready: false, under: 'lame: tell the vet' };
  if (!hand.stood) return { ready: false, under: 'not yet seen to stand' };
  if (!hand.walked) return { ready: false, under: 'not yet seen to walk' };
  return { ready: true, under: 'stood and walked' };
}

/** Stock that can stand in for a band: the same kind and colour. @param {Stock[]} stock @param {Band} band
 * @returns {Stock[]} */
export function spares(stock, band) {
  const colour = band.word === 'metal' ? '' : band.word;
  return stock.filter((one) => one.kind === band.kind && one.colour === colour && one.amount > 0);
}

/** Minutes since catching began, and whether that is past what the vet allows. @param {string} startedAt
 * @param {Date} now @param {number} most */
export function held(startedAt, now, most) {
  const seconds = Math.max(0, Math.floor((now.getTime() - Date.parse(startedAt)) / 1000));
  return { clock: `${Math.floor(seconds / 60)}:${String(seconds % 60).padStart(2, '0')}`, over: seconds > most * 60 };
}

/** The keys of the `handling` fact. @param {Bird} bird @param {InHand} hand @returns {Record<string, unknown>} */
export function handling(bird, hand) {
  const off = whyOff(bird, hand),
    looked = bird.bands.filter((band) => hand.conditions.has(band.id) || !hand.off.has(band.id));
  return {
    bird: bird.id,
    why: hand.why,
    read_before: anySeen(hand.before.reading) ? hand.before.reading : null,
    engraving_read: hand.number.trim() && !hand.agreed
      ? bird.bands.find((band) => bare(band.engraving).endsWith(bare(hand.number)))?.engraving || null
      : null,
    first_weight_g: grams(hand.first),
    weight_g: grams(hand.weight),
    fed: hand.fed,
    nails: hand.nails || null,
    bands: looked.map((band) => ({ band: band.id, conditions: [hand.conditions.get(band.id) || GOOD] })),
    taken_off: [...off].map(([band, why]) => ({ band, why })),
    put_on: putOn(bird, hand),
    sample: hand.sample ? { sample: hand.sample, label: hand.label.trim() } : null,
    chase_started_at: hand.startedAt,
    release: hand.lame ? 'lame' : 'stood and walked',
    walked_well: !hand.lame,
    note: hand.note.trim() || null,
    tell_vet: hand.tellVet,
  };
}

/** What was found, out of a fact that was refused, so that it can be mended where it was made.
 * @param {Bird} bird @param {Record<string, any>} fact @param {Stock[]} stock @returns {InHand} */
export function foundBefore(bird, fact, stock) {
  const hand = takenInHand(fact.chase_started_at, fact.why),
    text = (/** @type {unknown} */ value) => (value === null || value === undefined ? '' : String(value));
  for (const { band, conditions } of fact.bands || []) hand.conditions.set(band, conditions[0]);
  const put = new Set(fact.put_on || []), kept = toFit(bird.planned);
  for (const on of put) {
    const step = kept.find(({ key, site, word }) =>
      !hand.on.has(key) && site === on.site && word === (on.colour || 'metal')
    );
    if (!step) continue;
    hand.on.set(step.key, {
      kind: on.kind,
      colour: on.colour || null,
      size: text(on.size),
      series: text(on.series),
      engraving: text(on.engraving),
      temporary: on.temporary === true,
    });
    put.delete(on);
  }
  for (const { band, why } of fact.taken_off || []) {
    const own = bird.bands.find(({ id }) => id === band),
      on = own && [...put].find((one) => one.site === own.site && (one.colour || 'metal') === own.word);
    const spare = own && on &&
      (spares(stock, own).find(({ size }) => size === on.size) ||
        { kind: own.kind, colour: text(on.colour), size: text(on.size), amount: 1 });
    if (spare) hand.replaced.set(band, spare);
    else if (why !== 'lost') hand.off.set(band, why);
  }
  if (hand.replaced.size || hand.on.size) { for (const word of FITTING) hand.fitting.add(word); }
  return Object.assign(hand, {
    before: { reading: fact.read_before || {}, on: '' },
    number: text(fact.engraving_read),
    first: text(fact.first_weight_g),
    weight: text(fact.weight_g),
    fed: fact.fed ?? null,
    nails: text(fact.nails),
    sample: text(fact.sample?.sample),
    label: text(fact.sample?.label),
    stood: fact.walked_well === true,
    walked: fact.walked_well === true,
    lame: fact.walked_well === false,
    note: text(fact.note),
    tellVet: fact.tell_vet === true,
  });
}
