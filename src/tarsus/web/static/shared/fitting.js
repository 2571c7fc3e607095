// @ts-check
// Fitting what was kept for a bird, band by band: what the shelf has for each, in which order it goes into the fact,
// and what this phone's own handlings leave of the pack until the server has answered.

/** @typedef {{kind: string, colour: string, size: string, amount: number}} Stock */
/** @typedef {{series: string, size: string, numbers: string[]}} Run */
/** @typedef {{bands: Stock[], runs: Run[]}} Shelf  what the shelf has in the size of one species */
/** @typedef {{band: number, stays: boolean}|{word: string, kinds: string[], temporary: boolean}} Step */
/** @typedef {{marks: Record<string, string[]>, because: string, sites: {site: string, steps: Step[]}[]}} Plan */
/** @typedef {{key: string, site: string, at: number, word: string, kinds: string[], temporary: boolean}} ToFit */
/** @typedef {{kind: string, colour: string|null, size: string, series: string, engraving: string, temporary: boolean}}
 * Fitted */
/** @typedef {import('./in-hand.js').Bird} Bird */
/** @typedef {import('./in-hand.js').InHand} InHand */
/** @typedef {import('./in-hand.js').Band} Band */

export const METAL = 'metal', MOULT = 'moult', GONE = 'missing';

/** The bands that a plan puts on, from the body outward site by site. @param {Plan|null} plan @returns {ToFit[]} */
export function toFit(plan) {
  return (plan?.sites || []).flatMap(({ site, steps }) =>
    steps.flatMap((step, at) => ('word' in step ? [{ key: `${site} ${at}`, site, at, ...step }] : []))
  );
}

/** The bands of the record that a plan takes off. @param {Bird} bird @returns {Band[]} */
export function toTakeOff(bird) {
  const off = new Set(
    (bird.planned?.sites || []).flatMap(({ steps }) =>
      steps.flatMap((step) => ('band' in step && !step.stays ? [step.band] : []))
    ),
  );
  return bird.bands.filter(({ id }) => off.has(id));
}

/** What the shelf has for one band to be fitted, the fullest drawer first. @param {Shelf} shelf
 * @param {{word: string, kinds: string[], temporary: boolean}} step @returns {Stock[]} */
export function onTheShelf(shelf, { word, kinds, temporary }) {
  const fits = shelf.bands.filter(({ kind, colour, amount }) =>
    amount > 0 && kinds.includes(kind) && (colour || METAL) === word
  );
  // A tie only for a leg that still grows, where there is a choice: it is taken off again.
  const ties = (/** @type {Stock} */ one) => (one.kind === 'cable tie' ? (temporary ? -1 : 1) : 0);
  return fits.sort((a, b) => ties(a) - ties(b) || b.amount - a.amount);
}

/** The next metal number of the shelf that no band in this hand has. @param {Shelf} shelf
 * @param {Iterable<string>} taken
 * @returns {{series: string, size: string, engraving: string}} empty where the shelf has none */
export function nextNumber(shelf, taken) {
  const used = new Set(taken);
  for (const { series, size, numbers } of shelf.runs) {
    const engraving = numbers.find((one) => !used.has(one));
    if (engraving) return { series, size, engraving };
  }
  return { series: '', size: '', engraving: '' };
}

/** The band as it is fitted, from the shelf; where the shelf has none, of the usual kind and without a size.
 * @param {ToFit} step @param {Stock|undefined} from @param {{series: string, size: string, engraving: string}} number
 * @returns {Fitted} */
export function fittedFrom({ word, kinds, temporary }, from, number) {
  const metal = word === METAL;
  return {
    kind: from?.kind || kinds[0],
    colour: metal ? null : word,
    size: (metal && number.size) || from?.size || '',
    series: metal ? number.series : '',
    engraving: metal ? number.engraving : '',
    temporary,
  };
}

/** Why each band comes off that does. @param {Bird} bird @param {InHand} hand @returns {Map<number, string>} */
export function whyOff(bird, hand) {
  const why = new Map();
  for (const { id } of bird.bands) {
    const said = hand.conditions.get(id), told = hand.off.get(id);
    if (said === GONE) why.set(id, 'lost');
    else if (told) why.set(id, told);
    else if (hand.replaced.has(id)) why.set(id, said === 'tight' ? 'tight' : 'replaced');
  }
  return why;
}

/** Why a plan takes a band off. @param {Band} band @returns {string} */
export const whyPlanned = (band) => (band.temporary ? 'replaced' : 're-marked');

/** The bands put on, in the order in which they go on: of each site from the body outward, with the place each has when
 * it goes on, bands that came off before it not counted. @param {Bird} bird @param {InHand} hand
 * @returns {Record<string, unknown>[]} */
export function putOn(bird, hand) {
  const off = whyOff(bird, hand), /** @type {Record<string, unknown>[]} */ told = [];
  for (
    const site of new Set([
      ...bird.bands.map((band) => band.site),
      ...(bird.planned?.sites || []).map((one) => one.site),
    ])
  ) {
    const here = bird.bands.filter((band) => band.site === site);
    const steps = bird.planned?.sites.find((one) => one.site === site)?.steps ||
      here.map(({ id }) => ({ band: id, stays: true }));
    let place = 0;
    steps.forEach((step, at) => {
      if ('band' in step) {
        const spare = hand.replaced.get(step.band), band = here.find(({ id }) => id === step.band);
        if (spare && band)
          told.push({
            site,
            kind: spare.kind,
            colour: spare.colour || null,
            size: spare.size,
            place: place++,
            temporary: band.temporary,
          });
        else if (!off.has(step.band)) place += 1;
      } else {
        const on = hand.on.get(`${site} ${at}`);
        if (on)
          told.push({
            site,
            ...on,
            engraving: on.engraving.trim() || null,
            series: on.series || null,
            size: on.size || null,
            place: place++,
          });
      }
    });
  }
  return told;
}

/** What keeps a bird in hand of what was to be fitted; empty where nothing does. @param {InHand} hand
 * @returns {string} */
export function unfinished(hand) {
  for (const { kind, engraving } of hand.on.values())
    if (kind === METAL && !engraving.trim()) return 'the new metal band: its number';
  return '';
}

/** The pack after handlings that this phone has kept and the server has not answered: their numbers and bands are gone
 * from the shelf, and what they fitted is not offered again.
 * @template {{shelves: Record<string, Shelf>, birds: Bird[]}} P
 * @param {P} pack @param {Record<string, any>[]} handlings @returns {P} */
export function afterwards(pack, handlings) {
  const put = handlings.flatMap((fact) => fact.put_on || []),
    numbers = new Set(put.map(({ engraving }) => engraving).filter(Boolean));
  const shelves = Object.fromEntries(
    Object.entries(pack.shelves).map(([species, { bands, runs }]) => [species, {
      bands: bands.map((one) => ({
        ...one,
        amount: Math.max(
          0,
          one.amount -
            put.filter(({ kind, colour, size }) =>
              kind === one.kind && (colour || '') === one.colour && size === one.size
            ).length,
        ),
      })),
      runs: runs.map((run) => ({ ...run, numbers: run.numbers.filter((number) => !numbers.has(number)) })),
    }]),
  );
  const changed = new Set(
    handlings.filter((fact) => fact.put_on?.length || fact.taken_off?.length).map((fact) => fact.bird),
  );
  return {
    ...pack,
    shelves,
    birds: pack.birds.map((bird) => (changed.has(bird.id) ? { ...bird, planned: null, waits: true } : bird)),
  };
}
