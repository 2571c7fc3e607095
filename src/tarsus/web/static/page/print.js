// @ts-check
// A page that is wanted on paper prints itself.

document.addEventListener('click', ({ target }) => {
  if (target instanceof Element && target.closest('[data-print]')) print();
});
