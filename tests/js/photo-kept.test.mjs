// A phone that has room for a sighting and none for its picture: who was seen is kept and said, and nothing else is
// claimed.
import assert from 'node:assert/strict';
import { test } from 'node:test';

globalThis.HTMLElement = class {};
globalThis.customElements = { define: () => undefined };
globalThis.document = { querySelectorAll: () => [] };
globalThis.location = { hash: '' };
const { acts } = await import('../../src/tarsus/web/static/page/who-bird.js');
const { NotKept } = await import('../../src/tarsus/web/static/page/store.js');

const KELP = {
  bird: { id: 7, name: 'Kelp' },
  flock: { lookalike: 'Pied avocet' },
  pack: { park: { pictures_days: 30 }, exhibit: { id: 1 } },
};

/** A photograph names Kelp, on a phone that refuses what has a picture. @param {Error|null} refuses */
async function seenIn(refuses) {
  const kept = [];
  const who = {
    chosen: 7,
    pictured: true,
    said: '',
    find: () => KELP,
    photoOf: () => ({}),
    told: () => ({ candidates: [], noneOfThese: 0, reading: {} }),
    photo: {
      taken: { fresh: true },
      kept: async () => ({ own_camera: true, taps: {}, picture: 'x' }),
      clear: () => undefined,
    },
    make: (kind, keys) => ({ id: kind, kind, ...keys }),
    keep: async (...facts) => {
      if (refuses && facts.some(({ picture }) => picture)) throw refuses;
      kept.push(...facts);
    },
  };
  await acts['seen-at'](who, { dataset: {} });
  return { kinds: kept.map(({ kind }) => kind), of: kept[1]?.sighting, said: who.said };
}

test('a picture goes behind the sighting that it belongs to', async () => {
  assert.deepEqual(await seenIn(null), {
    kinds: ['sighting', 'photograph'],
    of: 'sighting',
    said: 'Kelp seen, by sight in a photograph.',
  });
});

test('where only the picture finds no room the sighting is kept, and it is said', async () => {
  const { kinds, said } = await seenIn(new NotKept('full'));
  assert.deepEqual(kinds, ['sighting']);
  assert.equal(
    said,
    'Kelp seen, by sight in a photograph. This phone has no room for the picture: the sighting is kept without it.',
  );
});

test('any other trouble is told as it is', async () => {
  await assert.rejects(seenIn(new TypeError('broken')), /broken/);
});
