// @ts-check
// Tell me on this phone: the browser is asked for its permission and its address, on this tap and never before.

import { CANNOT } from '../shared/phone-news.js';

const form = document.getElementById('phone-news'), cannot = document.getElementById('cannot');
let asked = false;

/** @param {string} why */
function say(why) {
  if (!cannot) return;
  cannot.textContent = why;
  cannot.hidden = false;
}

/** A key as the server writes it (RFC 7515, section 2). @param {ArrayBuffer} octets */
const written = (octets) =>
  btoa(String.fromCharCode(...new Uint8Array(octets))).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');

/** @param {HTMLFormElement} filled */
async function ask(filled) {
  if (await Notification.requestPermission() !== 'granted') return say(CANNOT.refused);
  const { pushManager } = await navigator.serviceWorker.ready, parkKey = filled.dataset.parkKey ?? '';
  const before = await pushManager.getSubscription();
  // One that was made for an earlier key of the park is of no use to this one.
  if (before && written(before.options.applicationServerKey ?? new ArrayBuffer(0)) !== parkKey)
    await before.unsubscribe();
  const phone = await pushManager.subscribe({ userVisibleOnly: true, applicationServerKey: parkKey });
  const { endpoint = '', keys = {} } = phone.toJSON();
  for (const [name, value] of Object.entries({ endpoint, key: keys.p256dh, auth: keys.auth })) {
    const field = filled.elements.namedItem(name);
    if (field instanceof HTMLInputElement) field.value = value;
  }
  filled.submit();
}

if (form instanceof HTMLFormElement) {
  const able = 'serviceWorker' in navigator && 'PushManager' in window && 'Notification' in window;
  if (!able) {
    say(CANNOT.unable);
    form.querySelector('button')?.setAttribute('disabled', '');
  }
  form.addEventListener('submit', (event) => {
    event.preventDefault();
    if (asked || !able) return;
    asked = true;
    ask(form).catch(() => say(CANNOT.failed)).finally(() => {
      asked = false;
    });
  });
}
