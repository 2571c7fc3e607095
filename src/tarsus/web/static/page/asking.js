// @ts-check
// A slow server is no missing connection: what is known stands on the page, *still asking* beside it, and the answer is
// taken when it comes. Where nothing can be shown, why, and a way to try again.

import { html, patch } from './markup.js';

const SLOW_MS = 3000;

/** Take what arrived: at once, or on a tap where somebody is writing. @param {string} address */
function take(address) {
  if (address !== location.href.split('#')[0]) return;
  const box = document.activeElement, notice = document.getElementById('as-of')?.querySelector('span');
  const writes = (box instanceof HTMLInputElement || box instanceof HTMLTextAreaElement) && box.value;
  if (!writes || !notice) {
    location.reload();
    return;
  }
  notice.textContent = 'The answer has come. What you are writing would be lost:';
  const again = document.querySelector('#as-of [data-again]');
  if (again) again.textContent = 'Show it all the same';
}

/** Nothing will come. @param {string} address */
function none(address) {
  const notice = document.getElementById('as-of')?.querySelector('span');
  if (notice && address === location.href.split('#')[0])
    notice.textContent = 'The server does not answer: as last known.';
}

export function listenForAnswers() {
  navigator.serviceWorker?.addEventListener('message', ({ data }) => {
    if (data?.arrived) take(data.arrived);
    else if (data?.none) none(data.none);
  });
  document.addEventListener('click', ({ target }) => {
    if (target instanceof Element && target.closest('[data-again]')) location.reload();
  });
}

/** Wait for an answer, and say so when it takes long. @template T @param {HTMLElement} main @param {string} what
 * @param {Promise<T>} answer
 * @returns {Promise<T>} */
export async function whileAsking(main, what, answer) {
  const slow = setTimeout(() =>
    patch(
      main,
      html`<p class="say" role="status">Still asking the server for ${what}.</p>
    <p class="note">It is slow, or the signal is weak. What you told before is kept on this phone.</p>
    <p class="deeds two"><a class="btn" href="/">Back to Today</a><button class="btn" type="button"
    data-again>Try again</button></p>`,
    ), SLOW_MS);
  try {
    return await answer;
  } finally {
    clearTimeout(slow);
  }
}

/** Why a page could not open, with a way to try again. @param {HTMLElement} main @param {unknown} error */
export function cannotOpen(main, error) {
  patch(
    main,
    html`<p class="missing" role="alert">${error instanceof Error ? error.message : String(error)}</p>
    <p class="deeds two"><a class="btn" href="/">Back to Today</a><button class="btn first" type="button"
    data-again>Try again</button></p>`,
  );
}
