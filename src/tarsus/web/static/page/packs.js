// @ts-check
// The packs of this phone: fetched when there is a connection, kept for when there is none.

/** @typedef {import('../shared/pack.js').Pack} Pack */
/** @typedef {import('./store.js').Store} Store */

const PATIENCE_MS = 8000;

/** A fresh pack, kept on this phone; null where none could be had. @param {Store} store @param {number} exhibit @returns {Promise<Pack|null>} */
export async function fetchPack(store, exhibit) {
  try {
    const answer = await fetch(`/exhibits/${exhibit}/pack.json`, { signal: AbortSignal.timeout(PATIENCE_MS), cache: 'no-store' });
    if (!answer.ok) return null;
    const pack = await answer.json();
    await store.putPack(pack);
    return pack;
  } catch {
    return null; // no network, or no room to keep it: the older pack serves
  }
}

/** The pack as it was last fetched. @param {Store} store @param {number} exhibit @returns {Promise<Pack|undefined>} */
export const keptPack = (store, exhibit) => store.pack(exhibit);

/** The packs of all exhibits: fetched where there is a connection, else as they were kept. @param {Store} store @returns {Promise<Pack[]>} */
export async function fetchPacks(store) {
  const exhibits = await listed();
  for (const { id } of exhibits) await fetchPack(store, id);
  const kept = await store.packs();
  return kept.sort((a, b) => a.exhibit.id - b.exhibit.id);
}

/** @returns {Promise<{id: number}[]>} the exhibits of the park; none where nobody answers */
async function listed() {
  try {
    const answer = await fetch('/exhibits.json', { signal: AbortSignal.timeout(PATIENCE_MS), cache: 'no-store' });
    return answer.ok ? (await answer.json()).exhibits : [];
  } catch {
    return [];
  }
}
