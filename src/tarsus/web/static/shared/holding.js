// @ts-check
// In whose hands a phone is: those of whoever is signed in, or of a keeper who took it by their PIN, for a working day.

/** Sixteen hours, as the server has it: a fact of a later time is not heard in the taker's name. */
export const IN_HAND_MS = 16 * 3600000;
export const TRIES = 5;

/** @typedef {{session: number, who: number, at: number}} Taken  who took the phone of whose session, and when */
/** @typedef {{salt: string, digest: string, at: number, wrong: number}} Proof  what a phone keeps of a PIN that the
 * server confirmed */

/** Who holds the phone now. @param {Taken|undefined} taken @param {number} session  who is signed in
 * @param {number} now
 * @returns {number} */
export function holder(taken, session, now) {
  return taken && taken.session === session && now - taken.at < IN_HAND_MS ? taken.who : session;
}

/** Whether the server confirmed this PIN here today: then the phone knows it, though it may have been typed wrong too
 * often since.
 * @param {Proof|undefined} proof @param {number} now @returns {proof is Proof} */
export function provenHere(proof, now) {
  return proof !== undefined && now - proof.at < IN_HAND_MS;
}

/** Why a PIN cannot be asked for without a connection; empty where it can. @param {Proof|undefined} proof
 * @param {string} name
 * @param {number} now @returns {string} */
export function whyNotHere(proof, name, now) {
  if (!provenHere(proof, now))
    return `No connection: ${name} has not taken this phone in hand today. Try again in reach of the network.`;
  return proof.wrong >= TRIES ? `Typed wrong ${TRIES} times: try again in reach of the network.` : '';
}

/** Whether a phone lay untouched for so long that it asks for the PIN; 0 minutes: never.
 * @param {number} touched  when it was touched last
 * @param {number} minutes @param {number} now @returns {boolean} */
export function liesIdle(touched, minutes, now) {
  return minutes > 0 && now - touched >= minutes * 60000;
}
