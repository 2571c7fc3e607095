// @ts-check
// Facts: what a phone says happened. Each has an id chosen on the phone, the phone's own time, and its person.

/** @typedef {import('./pack.js').Fact} Fact */

/** A version 4 UUID out of sixteen random bytes. `crypto.randomUUID` is missing on plain http, so it is made here.
 * @param {(bytes: Uint8Array) => Uint8Array} fill  such as crypto.getRandomValues
 * @returns {string} */
export function newId(fill) {
  const bytes = fill(new Uint8Array(16));
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  const hex = Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
  return [hex.slice(0, 8), hex.slice(8, 12), hex.slice(12, 16), hex.slice(16, 20), hex.slice(20)].join('-');
}

/** A moment with the offset of the phone's own clock, to the millisecond: 2026-06-11T07:41:02.120+01:00.
 * @param {Date} moment @returns {string} */
export function localIso(moment) {
  const ahead = -moment.getTimezoneOffset();
  const two = (/** @type {number} */ n) => String(Math.floor(Math.abs(n))).padStart(2, '0');
  const shifted = new Date(moment.getTime() + ahead * 60000).toISOString().slice(0, -1);
  return `${shifted}${ahead < 0 ? '-' : '+'}${two(ahead / 60)}:${two(ahead % 60)}`;
}

/** The hour and minute of a fact's time as its phone showed it.
 * @param {string} at @returns {string} */
export function clockOf(at) {
  return at.slice(11, 16);
}

/** The hour and minute of a moment, with its day where that is not today: *27 Nov, 16:33*.
 * @param {string} at @param {Date} [now] @returns {string} */
export function momentOf(at, now = new Date()) {
  if (at.slice(0, 10) === localIso(now).slice(0, 10)) return clockOf(at);
  const day = new Date(`${at.slice(0, 10)}T12:00`).toLocaleDateString('en-GB', { day: 'numeric', month: 'short' });
  return `${day}, ${clockOf(at)}`;
}

/** A maker of facts for one person: every fact it makes has its id, its time and who acted.
 * @param {{id: () => string, now: () => Date, by: () => number}} phone
 * @returns {(kind: string, keys: Partial<Fact>) => Fact} */
export function factMaker(phone) {
  return (kind, keys) => ({ id: phone.id(), kind, at: localIso(phone.now()), by: phone.by(), ...keys });
}

/** Which facts stand: a withdrawal takes a fact back, and a withdrawal that was itself withdrawn takes nothing back.
 * Depends on the set of facts alone, not on the order in which they came.
 * @param {Iterable<Fact>} facts @returns {Map<string, Fact>} by id */
export function standing(facts) {
  /** @type {Map<string, Fact>} */
  const all = new Map();
  /** @type {Map<string, Fact[]>} */
  const against = new Map();
  for (const fact of facts) {
    if (all.has(fact.id)) continue;
    all.set(fact.id, fact);
    if (fact.kind === 'withdrawn' && fact.corrects) {
      against.set(fact.corrects, [...(against.get(fact.corrects) || []), fact]);
    }
  }
  /** @param {string} id @param {Set<string>} path @returns {boolean} */
  const stands = (id, path) => {
    if (path.has(id)) return false; // two facts that withdraw each other: neither counts
    const deeper = new Set(path).add(id);
    return !(against.get(id) || []).some((fact) => stands(fact.id, deeper));
  };
  return new Map([...all].filter(([id]) => stands(id, new Set())));
}

/** Order facts by time, then by id, so that every phone puts them in one order.
 * @param {Fact} a @param {Fact} b @returns {number} */
export function byTime(a, b) {
  const earlier = Date.parse(a.at) - Date.parse(b.at);
  return earlier || (a.id < b.id ? -1 : a.id > b.id ? 1 : 0);
}
