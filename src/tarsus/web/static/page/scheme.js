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
  // A tablet may call itself a desk, as iPads do: it says itself that it is held in the hand.
  if (matchMedia('(hover: none) and (pointer: coarse)').matches) {
    const secure = location.protocol === 'https:' ? '; Secure' : '';
    document.cookie = `held=1; Path=/; Max-Age=31536000; SameSite=Lax${secure}`;
  }
  addEventListener('storage', show);
  addEventListener('tarsus-scheme', show);
})();
