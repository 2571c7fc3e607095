// @ts-check
// The rule of a species as it is written, drawn on legs: metal where it goes, and an open band for each colour.

const MOST = 4;

/** What the fields of one sex say. @param {Element} row @returns {Record<string, string[]>} */
function marksOf(row) {
  const metal = row.querySelector('select')?.value;
  const sites = [.../** @type {NodeListOf<HTMLInputElement>} */ (row.querySelectorAll('input[data-site]'))];
  return Object.fromEntries(sites.map(({ dataset: { site = '' }, value }) => {
    const colours = Math.min(MOST, Math.max(0, Math.trunc(Number(value)) || 0));
    return [site, [...(metal === site ? ['metal'] : []), ...Array.from({ length: colours }, () => '?')]];
  }));
}

document.addEventListener('input', ({ target }) => {
  const row = target instanceof Element && target.closest('.on-legs');
  if (row) row.querySelector('band-drawing')?.setAttribute('marks', JSON.stringify(marksOf(row)));
});
