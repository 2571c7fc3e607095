// @ts-check
// A page on paper: what is folded away is open while it prints; a button for it prints the page.

/** @type {HTMLDetailsElement[]} */
let folded = [];

addEventListener('beforeprint', () => {
  folded = [...document.querySelectorAll('details')].filter((part) => !part.open && !part.closest('.m-row'));
  for (const part of folded) part.open = true;
});
addEventListener('afterprint', () => {
  for (const part of folded) part.open = false;
});
document.addEventListener('click', ({ target }) => {
  if (target instanceof Element && target.closest('[data-print]')) print();
});
