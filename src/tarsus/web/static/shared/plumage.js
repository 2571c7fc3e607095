// @ts-check
// Whether a bird looked young or grown, in the prior of who it is. The twin of core/readings/plumage.py: both pass
// tests/published/plumage_cases.json.

/** @typedef {'young'|'grown'} Plumage */

/** @type {Plumage[]} */
export const PLUMAGES = ['young', 'grown'];

/** By how much each bird is likelier to be the one: 1 where nobody said or nothing is known, the mean of the others for
 * a bird of which nothing is known. @param {(number|null|undefined)[]} young  of each bird the chance that somebody
 * says it is in young plumage @param {Plumage|''|undefined} told @returns {number[]} */
export function plumageFactors(young, told) {
  const factor = (/** @type {number} */ one) => (told === 'young' ? one : 1 - one),
    known = young.flatMap((one) => (one == null ? [] : [factor(one)]));
  if (!told || !known.length) return young.map(() => 1);
  const mean = known.reduce((sum, one) => sum + one, 0) / known.length;
  return young.map((one) => (one == null ? mean : factor(one)));
}

/** Whether it is worth asking: some of these birds look young, and some grown. @param {{young?: number}[]} birds */
export const bothAges = (birds) =>
  birds.some(({ young }) => young !== undefined && young >= 0.5) &&
  birds.some(({ young }) => young !== undefined && young < 0.5);
