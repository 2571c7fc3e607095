// @ts-check
// What a visitor told, as a fact: a report. It names whom it may be about, prompts a look, and clears nobody.

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {import('./pack.js').Reading} Reading */

const KEPT = 20, WORTH_KEEPING = 1e-6;

/**
 * The keys of a `report` fact.
 * @param {object} heard
 * @param {string} heard.said       what was told: what, where, when
 * @param {string} [heard.toldBy]
 * @param {number[]} heard.birds    whom it may be about
 * @param {number|null} [heard.exhibit]   where it was told to be, if in an exhibit
 * @param {number|null} [heard.place]
 * @param {Reading|null} [heard.reading]
 * @param {{bird: {id: number}, chance: number}[]} [heard.candidates]  likeliest first
 * @param {number|null} [heard.noneOfThese]
 * @returns {Partial<Fact>}
 */
export function reportKeys(
  {
    said,
    toldBy = 'a visitor',
    birds,
    exhibit = null,
    place = null,
    reading = null,
    candidates = [],
    noneOfThese = null,
  },
) {
  const worth = candidates.slice(0, KEPT).filter(({ chance }) => chance >= WORTH_KEEPING);
  return {
    said: said.trim(),
    told_by: toldBy,
    birds,
    ...(exhibit === null ? {} : { exhibit, place }),
    reading,
    candidates: worth.map(({ bird, chance }) => ({ bird: bird.id, chance })),
    none_of_these: noneOfThese,
  };
}

/** The reports that still prompt a look: not those of whose birds each was seen since.
 * @param {NonNullable<import('./pack.js').Pack['reports']>} reports
 * @param {(bird: number) => string|null} seenAt  when a bird
 * was seen in this call, null where it was not @returns {NonNullable<import('./pack.js').Pack['reports']>} */
export function stillOpen(reports, seenAt) {
  const since = (/** @type {number} */ bird, /** @type {string} */ told) => {
    const at = seenAt(bird);
    return at !== null && Date.parse(at) > Date.parse(told);
  };
  return reports.filter(({ birds, at }) => !birds.length || !birds.every((bird) => since(bird, at)));
}
