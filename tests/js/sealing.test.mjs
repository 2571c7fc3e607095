// What a phone has not sent, sealed and opened again: with the browser's own AES-GCM, and a server that gives keys.
import assert from 'node:assert/strict';
import { test } from 'node:test';
import { openSealed, sealAll } from '../../src/tarsus/web/static/page/sealing.js';

globalThis.document = { cookie: '' };
const KEY_OF = { 3: 'A'.repeat(43) + '=', 8: 'B'.repeat(42) + 'A=' };
const entry = (id, by, keys = {}) => ({
  fact: { id, kind: 'sighting', at: '2026-06-11T07:30:00.000+01:00', by, note: 'Kelp limps' },
  fate: 'kept',
  order: 1,
  reason: '',
  ...keys,
});

/** A phone on which somebody signs in: the server gives them these people's keys. */
async function signIn(person, people, entries = [], { full = false, torn = false } = {}) {
  const said = new Map(), unsealed = [];
  globalThis.fetch = async () => ({
    ok: true,
    status: 200,
    json: async () => {
      if (torn) throw new TypeError('broke off');
      return { person, keys: Object.fromEntries(people.map((one) => [one, KEY_OF[one]])), names: {}, idle_minutes: 0 };
    },
  });
  const setPhone = async (key, value) => {
    if (full) throw new Error('full');
    said.set(key, value);
  };
  await openSealed({
    device: 'd',
    list: () => entries,
    store: { phone: async (key) => said.get(key), setPhone },
    unseal: async (opened) => {
      unsealed.push(...opened);
    },
  }, 0);
  return { held: said.get('seal'), unsealed };
}

test('what is sealed says nothing, each under its own number, and opens for its person as it was', async () => {
  const entries = [entry('a', 3), entry('b', 3, { fate: 'refused', reason: 'bird: Kelp' })],
    { held } = await signIn(3, [3]);
  const closed = await sealAll(entries, held);
  assert.ok(
    !JSON.stringify(closed).includes('Kelp') &&
      closed.every(({ seal }) => !new TextDecoder().decode(seal.bytes).includes('Kelp')),
  );
  assert.notDeepEqual(closed[0].seal.iv, closed[1].seal.iv);
  assert.deepEqual((await signIn(3, [3], closed)).unsealed, entries);
});

test('another person opens none of it, nor does a seal open under the id of another fact', async () => {
  const { held } = await signIn(3, [3]), [closed] = await sealAll([entry('a', 3)], held);
  assert.deepEqual((await signIn(8, [8], [closed])).unsealed, []);
  assert.deepEqual((await signIn(3, [3], [{ ...closed, fact: { ...closed.fact, id: 'b' } }])).unsealed, []);
});

test('without a key nothing is sealed, and all stays as it is', async () => {
  assert.deepEqual(await sealAll([entry('a', 3)], undefined), []);
});

test('a phone that is full, or a key that broke off on its way, keeps nobody from sending what is open', async () => {
  const { held } = await signIn(3, [3]), closed = await sealAll([entry('a', 3)], held);
  assert.deepEqual((await signIn(3, [3], closed, { torn: true })).unsealed, []);
  assert.deepEqual((await signIn(3, [3], closed, { full: true })).unsealed, []);
});

test('with facts of another person sealed here the server is asked once a minute, or as it is taken', async () => {
  const { held } = await signIn(3, [3]), closed = await sealAll([entry('a', 3)], held), said = new Map();
  let asks = 0, people = [8];
  globalThis.fetch = async () => {
    asks += 1;
    return {
      ok: true,
      status: 200,
      json: async () => ({ person: 8, keys: Object.fromEntries(people.map((one) => [one, KEY_OF[one]])) }),
    };
  };
  const unsealed = [],
    kept = {
      device: 'd',
      list: () => closed,
      unseal: async (opened) => {
        unsealed.push(...opened);
      },
      store: {
        phone: async (key) => said.get(key),
        setPhone: async (key, value) => {
          said.set(key, value);
        },
      },
    };
  for (const seconds of [0, 1, 30, 59]) await openSealed(kept, seconds * 1000);
  assert.equal(asks, 1);
  await openSealed(kept, 60000);
  assert.deepEqual([asks, unsealed], [2, []]);
  people = [3, 8];
  said.set('who', { session: 8, who: 3, at: 61000 });
  await openSealed(kept, 62000);
  assert.deepEqual([asks, unsealed.map(({ fact }) => fact.note)], [3, ['Kelp limps']]);
});

test('what a page that ended in the middle left sealed is opened by the keys that it had fetched', async () => {
  const { held } = await signIn(3, [3]), closed = await sealAll([entry('a', 3)], held), unsealed = [];
  globalThis.fetch = async () => {
    throw new Error('no network');
  };
  await openSealed({
    device: 'd',
    list: () => closed,
    unseal: async (opened) => {
      unsealed.push(...opened);
    },
    store: { phone: async (key) => (key === 'seal' ? held : undefined) },
  }, 1000);
  assert.deepEqual(unsealed, [entry('a', 3)]);
});
