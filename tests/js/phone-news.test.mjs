// What a phone shows of what it is told, and what the worker does when it comes and when it is tapped.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { noticeOf } from '../../src/tarsus/web/static/shared/phone-news.js';
import { listenForNews } from '../../src/tarsus/web/static/worker/phone-news.js';

test('the first line is the title, the others are the text, and today takes the place of yesterday', () => {
  const { title, options } = noticeOf('Please look\nWendlebrook, Friday\n\nSearch\n- Kelp');
  assert.equal(title, 'Please look');
  assert.equal(options.body, 'Wendlebrook, Friday\n\nSearch\n- Kelp');
  assert.equal(options.tag, noticeOf('').options.tag);
  assert.equal(noticeOf('').title, 'Tarsus', 'a browser demands that something is shown of every message');
});

/** A worker with these windows open. @param {string[]} open */
function worker(open) {
  const heard = {}, done = [];
  const windows = open.map((url) => ({
    url,
    focus: async () => {
      done.push(`focus ${url}`);
    },
  }));
  listenForNews({
    addEventListener: (kind, hear) => {
      heard[kind] = hear;
    },
    registration: {
      showNotification: async (title, { body }) => {
        done.push(`${title}|${body}`);
      },
    },
    clients: {
      matchAll: async () => windows,
      openWindow: async (path) => {
        done.push(`open ${path}`);
      },
    },
  });
  const tell = async (kind, event) => {
    let until;
    heard[kind]({
      ...event,
      waitUntil: (promise) => {
        until = promise;
      },
    });
    await until;
    return done;
  };
  return { tell, tap: () => tell('notificationclick', { notification: { close: () => done.push('closed') } }) };
}

test('a message is shown when it comes', async () => {
  const { tell } = worker([]);
  assert.deepEqual(await tell('push', { data: { text: () => 'Look\nKelp' } }), ['Look|Kelp']);
});

test('a tap opens Today, and leads no roll call away', async () => {
  assert.deepEqual(await worker(['https://park.example/exhibits/3/roll-call/']).tap(), ['closed', 'open /']);
  assert.deepEqual(await worker(['https://park.example/who/', 'https://park.example/']).tap(), [
    'closed',
    'focus https://park.example/',
  ]);
});
