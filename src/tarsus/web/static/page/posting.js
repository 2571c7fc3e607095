// @ts-check
// A page's own question to the server, told with the token that its forms carry.

const PATIENCE_MS = 15000;

/** @returns {string} */
export const csrf = () => /(?:^|; )(?:__Host-)?csrftoken=([^;]*)/.exec(document.cookie)?.[1] || '';

/** @param {string} path @param {unknown} [told] @returns {Promise<Response>} */
export function post(path, told) {
  const headers = { 'Content-Type': 'application/json', 'X-CSRFToken': csrf() };
  return fetch(path, {
    method: 'POST',
    headers,
    body: told === undefined ? undefined : JSON.stringify(told),
    signal: AbortSignal.timeout(PATIENCE_MS),
  });
}
