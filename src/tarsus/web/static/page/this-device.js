// @ts-check
// Light, dark or sun, and the hand: chosen here, kept on this device.

for (const choice of document.querySelectorAll('[data-keeps]')) {
  const key = choice.getAttribute('data-keeps') ?? '';
  const buttons = /** @type {HTMLButtonElement[]} */ ([...choice.querySelectorAll('button')]);
  const show = () => {
    const kept = localStorage.getItem(key) ?? '';
    for (const button of buttons) button.setAttribute('aria-pressed', String(button.value === kept));
  };
  choice.addEventListener('click', (event) => {
    if (!(event.target instanceof HTMLButtonElement)) return;
    if (event.target.value) localStorage.setItem(key, event.target.value);
    else localStorage.removeItem(key);
    dispatchEvent(new Event('tarsus-scheme'));
    show();
  });
  show();
}
