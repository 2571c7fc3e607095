// A phone that lay untouched: what is found when somebody touches it. Drawn as far as that it is covered.
import assert from 'node:assert/strict';
import { mock, test } from 'node:test';
import { TRIES } from '../../src/tarsus/web/static/shared/holding.js';

const heard = new Map(), said = new Map(), MINUTE = 60000;
let covers = 0, reached = false;
globalThis.addEventListener = (kind, does) => {
  heard.set(kind, does);
};
globalThis.localStorage = {
  getItem: (key) => said.get(key) ?? null,
  setItem: (key, value) => {
    said.set(key, value);
  },
  removeItem: (key) => {
    said.delete(key);
  },
};
globalThis.document = {
  cookie: '',
  addEventListener: () => undefined,
  querySelector: () => null,
  createElement: () => {
    covers += 1;
    throw new Error('drawn');
  },
};
globalThis.fetch = async () => {
  if (!reached) throw new Error('no network');
  return { ok: true };
};
mock.timers.enable({ apis: ['setInterval'] });
const { watchIdle } = await import('../../src/tarsus/web/static/page/idle-lock.js');

const phone = { idle: { minutes: 5, session: 3, names: { 3: 'Tamsin' } }, pins: {} };
const settled = async () => {
  for (let n = 0; n < 20; n += 1)
    await new Promise((resolve) => {
      setImmediate(resolve);
    });
};
said.set('tarsus-touched', String(Date.now()));
watchIdle({ device: 'd', store: { phone: async (key) => phone[key] } });
await settled();

async function touchedAfter(minutes, { proof, locked = false, network = false }) {
  reached = network;
  covers = 0;
  phone.pins = proof ? { '3 3': { salt: 's', digest: 'd', at: Date.now() - 60 * MINUTE, wrong: 0, ...proof } } : {};
  said.set('tarsus-touched', String(Date.now() - minutes * MINUTE));
  said.delete('tarsus-locked');
  if (locked) said.set('tarsus-locked', '1');
  heard.get('pointerdown')();
  await settled();
  return {
    covered: covers > 0,
    locked: said.has('tarsus-locked'),
    fresh: Date.now() - Number(said.get('tarsus-touched')) < MINUTE,
  };
}

test('the tap that comes too late wakes the lock, though nobody looked; one in time is a touch', async () => {
  assert.deepEqual(await touchedAfter(30, { proof: {} }), { covered: true, locked: true, fresh: false });
  assert.deepEqual(await touchedAfter(30, { network: true }), { covered: true, locked: true, fresh: false });
  assert.deepEqual(await touchedAfter(4, { proof: {} }), { covered: false, locked: false, fresh: true });
});

test('where no PIN could be confirmed the phone stays open to its keeper, and the tap counts', async () => {
  assert.deepEqual(await touchedAfter(30, {}), { covered: false, locked: false, fresh: true });
});

test('a phone whose PIN was typed wrong too often stays locked where the page is loaded anew', async () => {
  const { covered, locked } = await touchedAfter(30, { proof: { wrong: TRIES }, locked: true });
  assert.deepEqual({ covered, locked }, { covered: true, locked: true });
});
