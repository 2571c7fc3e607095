// @ts-check
// What the outbox decides: which facts go next, what an answer means, how long to wait. A fact leaves the outbox only on
// the server's answer for its own id; a refused one is shown with the reason and can be mended, never dropped.

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {'kept'|'heard'|'refused'|'mended'} Fate
 *   kept: on this phone alone · heard: the server answered for it · refused: waits to be mended · mended: another fact took its place */
/** @typedef {{fact: Fact, fate: Fate, order: number, reason: string, mendedBy?: string, late?: boolean}} Entry   late: refused after it was answered for */
/** @typedef {{id: string, outcome: string, reason?: string}} Answer */

export const BATCH = 100;
const FIRST_WAIT_S = 2, LONGEST_WAIT_S = 300;

/** The facts to say next, oldest first. @param {Entry[]} entries @param {number} [size] @returns {Entry[]} */
export function nextBatch(entries, size = BATCH) {
  return entries.filter((entry) => entry.fate === 'kept').sort((a, b) => a.order - b.order).slice(0, size);
}

/**
 * What an answer does to the entries it was asked for: only ids that were sent and that the answer names change.
 * @param {Entry[]} batch @param {unknown} answers @returns {Entry[]} the entries that changed
 */
export function afterAnswer(batch, answers) {
  if (!Array.isArray(answers)) return [];
  const told = new Map(answers.map((/** @type {Answer} */ answer) => [answer.id, answer]));
  /** @type {Entry[]} */
  const changed = [];
  for (const entry of batch) {
    const answer = told.get(entry.fact.id);
    if (!answer) continue;
    if (answer.outcome === 'written' || answer.outcome === 'known') changed.push({ ...entry, fate: 'heard', reason: '' });
    else if (answer.outcome === 'refused') {
      changed.push({ ...entry, fate: 'refused', reason: answer.reason || 'the server gave no reason' });
    }
  }
  return changed;
}

/**
 * Facts that the server had answered for and could not write when their turn came: they are to be mended after all.
 * @param {Entry[]} entries @param {unknown} refused @returns {Entry[]} the entries that changed
 */
export function afterLateRefusal(entries, refused) {
  if (!Array.isArray(refused)) return [];
  const reasons = new Map(refused.map(({ id, reason }) => [id, reason]));
  return entries.filter(({ fate, fact }) => fate === 'heard' && reasons.has(fact.id))
    .map((entry) => ({ ...entry, fate: /** @type {Fate} */ ('refused'), late: true, reason: reasons.get(entry.fact.id) || 'the server gave no reason' }));
}

/**
 * What the sender does after one attempt.
 * `again`: wait and say the same again · `smaller`: the batch as a whole was not understood, halve it to find which
 * fact it is · `single`: one fact alone was not understood, it is refused · `sign in`: kept until somebody signs in
 * @param {number|null} status  null where no answer came @param {number} size  facts in the batch
 * @returns {'answered'|'again'|'smaller'|'single'|'sign in'}
 */
export function afterStatus(status, size) {
  if (status === 200) return 'answered';
  if (status === 401 || status === 403) return 'sign in';
  if (status === 400 || status === 413 || status === 422) return size > 1 ? 'smaller' : 'single';
  return 'again';
}

/** How long to wait after some failures in a row, in seconds: doubling, at most five minutes, spread by chance so that
 * phones that lost the network together do not all come back together.
 * @param {number} failures @param {number} chance  from 0 to 1 @returns {number} */
export function waitSeconds(failures, chance) {
  const full = Math.min(LONGEST_WAIT_S, FIRST_WAIT_S * 2 ** Math.max(0, failures - 1));
  return full * (0.5 + chance / 2);
}

/** How many facts stand on this phone alone, and how many of them were refused.
 * @param {Entry[]} entries @returns {{kept: number, refused: number}} */
export function keptHere(entries) {
  const refused = entries.filter((entry) => entry.fate === 'refused').length;
  return { kept: entries.filter((entry) => entry.fate === 'kept').length + refused, refused };
}

/** The facts that count in the round on this phone: a refused fact has not happened as told until it is mended.
 * @param {Entry[]} entries @returns {Fact[]} */
export function countingFacts(entries) {
  return entries.filter((entry) => entry.fate === 'kept' || entry.fate === 'heard').map((entry) => entry.fact);
}

/** Whether a fact that the server heard may be forgotten here: it belongs to no round that is still shown, and was
 * heard long enough ago. @param {Entry} entry @param {Set<string>} rounds @param {number} now @param {number} days
 * @returns {boolean} */
export function mayForget(entry, rounds, now, days) {
  if (entry.fate !== 'heard' && entry.fate !== 'mended') return false;
  if (entry.fact.round && rounds.has(entry.fact.round)) return false;
  return now - Date.parse(entry.fact.at) > days * 86400000;
}

/** What the badge says; empty when everything is with the server. @param {{kept: number, refused: number}} here
 * @returns {{n: string, word: string, more: string}} */
export function badgeWords(here) {
  if (here.refused) return { n: String(here.refused), word: 'to mend', more: here.kept > here.refused ? `, ${here.kept} kept on this phone` : '' };
  return here.kept ? { n: String(here.kept), word: 'kept', more: ' on this phone' } : { n: '', word: 'all sent', more: '' };
}
