// @ts-check
// Light, dark or sun, and the hand, as kept on this device. Loaded in the head, before anything is drawn.
(function() {
  'use strict';
  const root = document.documentElement.dataset;
  /** @param {string} key */
  const kept = (key) => {
    try {
      return localStorage.getItem(key);
    } catch {
      return null; // storage is refused: the device's own setting serves
    }
  };
  const show = () => {
    const scheme = kept('tarsus-scheme');
    if (scheme && ['light', 'dark', 'sun'].includes(scheme)) root.scheme = scheme;
    else delete root.scheme;
    if (kept('tarsus-hand') === 'left') root.hand = 'left';
    else delete root.hand;
  };
  show();
  addEventListener('storage', show);
  addEventListener('tarsus-scheme', show);
})();
