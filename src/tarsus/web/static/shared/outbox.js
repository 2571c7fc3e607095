// @ts-check
// What the outbox decides: which facts go next, what an answer means, how long to wait. A fact leaves the outbox only
// on the server's answer for its own id; a refused one is shown with the reason and can be mended, never dropped.

/** @typedef {import('./pack.js').Fact} Fact */
/** @typedef {'kept'|'heard'|'refused'|'mended'|'sealed'} Fate
 *   kept: on this phone alone · heard: the server answered for it · refused: waits to be mended · mended: another fact
 * took its place ·
 *   sealed: nobody who may send it is signed in, and what it says cannot be read here */
/** of: by whose key · iv, bytes: the whole entry, AES-GCM
 * @typedef {{of: number, iv: Uint8Array, bytes: ArrayBuffer}} Seal */
/** @typedef
 * {{fact: Fact, fate: Fate, order: number, reason: string, mendedBy?: string, late?: boolean, aside?: number,
 * heardAt?: string, seal?: Seal}} Entry
 *   heardAt: when the server's answer came, by the phone's clock · late: the server keeps it too, until it is told
 * anew: refused after it was
 *   answered for, or kept as a question · aside: how often the server failed on this fact alone; it lets the others go
 * first */
/** waits: the register keeps what it refused, as a question
 * @typedef {{id: string, outcome: string, reason?: string, waits?: boolean}} Answer */

export const BATCH = 100;
/** The most bytes of facts that go at once, one fact of more alone: what gets through a slow network before the
 * sender's patience ends (half a megabit a second), and less than half of what a server takes. */
export const BATCH_BYTES = 1000000;
const FIRST_WAIT_S = 2, LONGEST_WAIT_S = 300, FAILS_TO_HALVE = 3, WAITS_ASIDE = 5;

/** How the outbox is being said. fails: errors of the server in a row · searching: for the fact it fails on
 * @typedef {{size: number, fails: number, searching: boolean}} Pace */
/** @type {Pace} */
export const USUAL = { size: BATCH, fails: 0, searching: false };

/** At most so many bytes on the wire: a sign beyond ASCII takes up to three a unit. @param {string} text
 * @returns {number} */
const bytesOf = (text) => text.replace(/[\u0080-\uffff]/g, '...').length;

/** How many facts from the first go at once without being too much. @param {Entry[]} entries @returns {number} */
function thatGetThrough(entries) {
  let bytes = 0;
  const over = entries.findIndex(({ fact }) => (bytes += bytesOf(JSON.stringify(fact))) > BATCH_BYTES);
  return over < 0 ? entries.length : Math.max(1, over);
}

/** The facts to say next, oldest first; one that was set aside goes alone, when no other is left.
 * @param {Entry[]} entries @param {number} [size] @returns {Entry[]} */
export function nextBatch(entries, size = BATCH) {
  const kept = entries.filter((entry) => entry.fate === 'kept').sort((a, b) => a.order - b.order);
  const first = kept.filter((entry) => !entry.aside).slice(0, size);
  return first.length
    ? first.slice(0, thatGetThrough(first))
    : kept.sort((a, b) => (a.aside || 0) - (b.aside || 0)).slice(0, 1);
}

/** A picture that the server has needs no room here any more. @param {Fact} fact @returns {Fact} */
function withoutPicture(fact) {
  if (!fact.picture) return fact;
  const { picture: _, ...rest } = fact;
  return rest;
}

/**
 * What an answer does to the entries it was asked for: only ids that were sent and that the answer names change.
 * @param {Entry[]} batch @param {unknown} answers @param {string} [heardAt]  when they came
 * @returns {Entry[]} the entries that changed
 */
export function afterAnswer(batch, answers, heardAt) {
  if (!Array.isArray(answers)) return [];
  const told = new Map(answers.map((/** @type {Answer} */ answer) => [answer.id, answer]));
  /** @type {Entry[]} */
  const changed = [];
  for (const entry of batch) {
    const answer = told.get(entry.fact.id);
    if (!answer) continue;
    if (answer.outcome === 'written' || answer.outcome === 'known')
      changed.push({ ...entry, fact: withoutPicture(entry.fact), fate: 'heard', reason: '', heardAt });
    else if (answer.outcome === 'refused' && entry.fate !== 'sealed') { // the sealed is refused again when it is open
      changed.push({
        ...entry,
        fate: 'refused',
        reason: answer.reason || 'the server gave no reason',
        ...(answer.waits && { late: true }),
      });
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
    .map((entry) => ({
      ...entry,
      fate: /** @type {Fate} */ ('refused'),
      late: true,
      reason: reasons.get(entry.fact.id) || 'the server gave no reason',
    }));
}

/**
 * What the sender does after one attempt.
 * `again`: wait and say the same again · `smaller`: the batch as a whole was not understood, or the server fails on it
 * again and again: halve it to find which fact it is · `single`: one fact alone was not understood, it is refused ·
 * `aside`: the server fails on one fact alone · `sign in`: kept until somebody signs in
 * @param {number|null} status  null where no answer came @param {number} size  facts in the batch
 * @param {Pace} [pace]  with this attempt
 * @returns {'answered'|'again'|'smaller'|'single'|'aside'|'sign in'}
 */
export function afterStatus(status, size, pace = USUAL) {
  if (status === 200) return 'answered';
  if (status === 401 || status === 403) return 'sign in';
  if (status === 400 || status === 413 || status === 422) return size > 1 ? 'smaller' : 'single';
  if (status !== 500 || !(pace.searching || pace.fails >= FAILS_TO_HALVE)) return 'again'; // 502, 503, 504: it is away
  return size > 1 ? 'smaller' : 'aside';
}

/** One more answer of the server counted. @param {Pace} pace @param {number|null} status @returns {Pace} */
export function counted(pace, status) {
  return { ...pace, fails: status === 500 ? pace.fails + 1 : 0 };
}

/** The pace after what was done about an attempt. While the fact is searched for, a half that was heard does not let
 * the batches grow: the other half holds it. @param {Pace} pace @param {string} next
 * @param {number} size  facts in the batch
 * @returns {Pace} */
export function paceAfter(pace, next, size) {
  if (next === 'smaller')
    return { ...pace, size: Math.max(1, Math.floor(size / 2)), searching: pace.searching || pace.fails > 0 };
  if (next === 'single' || next === 'aside') return USUAL;
  return next === 'answered' && !pace.searching ? { ...pace, size: Math.min(BATCH, pace.size * 2) } : pace;
}

/** A fact that the server failed on alone, once more. It stays on this phone and is tried again by itself.
 * @param {Entry} entry @returns {Entry} */
export function setAside(entry) {
  return {
    ...entry,
    aside: (entry.aside || 0) + 1,
    reason: 'the server fails whenever it hears this; tell the administrator',
  };
}

/** How long a fact that was set aside waits before it is tried again, in seconds. @param {Entry} entry
 * @param {number} chance
 * @returns {number} */
export function asideSeconds(entry, chance) {
  return waitSeconds(WAITS_ASIDE + (entry.aside || 0), chance);
}

/** How long to wait after some failures in a row, in seconds: doubling, at most five minutes, spread by chance so that
 * phones that lost the network together do not all come back together.
 * @param {number} failures @param {number} chance  from 0 to 1 @returns {number} */
export function waitSeconds(failures, chance) {
  const full = Math.min(LONGEST_WAIT_S, FIRST_WAIT_S * 2 ** Math.max(0, failures - 1));
  return full * (0.5 + chance / 2);
}

/** The entries that nobody may read while nobody is signed in: what the server has not. @param {Entry[]} entries
 * @returns {Entry[]} */
export function toSeal(entries) {
  return entries.filter(({ fate }) => fate === 'kept' || fate === 'refused');
}

/** By whose key an entry is sealed: its person's, else that of whoever was signed in. @param {Entry} entry
 * @param {number} own
 * @param {(person: number) => boolean} has  whether this phone holds that person's key @returns {number} */
export function sealedBy({ fact }, own, has) {
  return has(fact.by) ? fact.by : own;
}

/** What is left to read of a sealed entry: that it is there, and its place in the order. @param {Entry} entry
 * @param {Seal} seal
 * @returns {Entry} */
export function sealed({ fact, order }, seal) {
  return { fact: { id: fact.id, kind: 'sealed', at: '', by: 0 }, fate: 'sealed', order, reason: '', seal };
}

/** How many facts stand on this phone alone, and how many of them were refused, set aside or are sealed.
 * @param {Entry[]} entries @returns {{kept: number, refused: number, aside: number, sealed: number}} */
export function keptHere(entries) {
  const refused = entries.filter((entry) => entry.fate === 'refused').length;
  const kept = entries.filter((entry) => entry.fate === 'kept');
  const closed = entries.filter((entry) => entry.fate === 'sealed').length;
  return { kept: kept.length + refused, refused, aside: kept.filter((entry) => entry.aside).length, sealed: closed };
}

/** The facts that count in the round on this phone: a refused fact has not happened as told until it is mended.
 * @param {Entry[]} entries @returns {Fact[]} */
export function countingFacts(entries) {
  return entries.filter((entry) => entry.fate === 'kept' || entry.fate === 'heard').map((entry) => entry.fact);
}

/** The facts that the server has: a phone that nobody is signed in on forgets them. @param {Entry[]} entries
 * @returns {string[]} */
export function withTheServer(entries) {
  return entries.filter(({ fate }) => fate === 'heard' || fate === 'mended').map(({ fact }) => fact.id);
}

/** Whether a fact that the server heard may be forgotten here: it belongs to no round that is still shown, and was
 * heard long enough ago. @param {Entry} entry @param {Set<string>} rounds @param {number} now @param {number} days
 * @returns {boolean} */
export function mayForget(entry, rounds, now, days) {
  if (entry.fate !== 'heard' && entry.fate !== 'mended') return false;
  if (entry.fact.round && rounds.has(entry.fact.round)) return false;
  return now - Date.parse(entry.fact.at) > days * 86400000;
}

/** What the badge says; empty when everything is with the server.
 * @param {{kept: number, refused: number, aside?: number}} here
 * @returns {{n: string, word: string, more: string}} */
export function badgeWords({ kept, refused, aside = 0 }) {
  if (!kept) return { n: '', word: 'all sent', more: '' };
  const stuck = refused || aside, more = kept > stuck ? `, ${kept} kept on this phone` : '';
  return stuck
    ? { n: String(stuck), word: refused ? 'to mend' : 'set aside', more }
    : { n: String(kept), word: 'kept', more: ' on this phone' };
}
