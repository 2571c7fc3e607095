// @ts-check
// What this phone is told once a day: shown when it comes, and Today opens where it is tapped.

import { noticeOf } from '../shared/phone-news.js';

/** @param {ServiceWorkerGlobalScope} worker */
export function listenForNews(worker) {
  worker.addEventListener('push', (event) => {
    const { title, options } = noticeOf(event.data?.text() ?? '');
    event.waitUntil(worker.registration.showNotification(title, options));
  });
  worker.addEventListener('notificationclick', (event) => {
    event.notification.close();
    event.waitUntil(openToday(worker));
  });
}

/** Today in a window of its own: one in which somebody calls a roll is not led away.
 * @param {ServiceWorkerGlobalScope} worker */
async function openToday(worker) {
  const windows = /** @type {readonly WindowClient[]} */ (await worker.clients.matchAll({ type: 'window' }));
  const open = windows.find(({ url }) => new URL(url).pathname === '/');
  return open ? open.focus() : worker.clients.openWindow('/');
}
