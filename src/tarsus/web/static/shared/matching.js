// @ts-check
// A bird by the first letters of its name, as typed in from a sheet.

/** @param {string} text @returns {string} letters alone, without case or accents */
const plain = (text) => text.normalize('NFD').replace(/[\u0300-\u036f]/g, '').toLowerCase().trim();

/**
 * The birds whose name begins with what was typed; a full name means that bird alone.
 * @template {{name: string}} B
 * @param {B[]} birds @param {string} typed @returns {B[]}
 */
export function matching(birds, typed) {
  const start = plain(typed);
  if (!start) return [];
  const whole = birds.filter((bird) => plain(bird.name) === start);
  return whole.length ? whole : birds.filter((bird) => plain(bird.name).startsWith(start));
}

/** Signs of a number without spaces or case. @param {string} text @returns {string} */
const signs = (text) => plain(text).replace(/[\s.\-/]/g, '').toUpperCase();

/** Whether what was read of a number can be part of it; a question mark stands for any one sign.
 * @param {string} engraving @param {string} read @returns {boolean} */
export function numberFits(engraving, read) {
  const wanted = signs(read), whole = signs(engraving || '');
  for (let from = 0; from + wanted.length <= whole.length; from += 1) {
    if ([...wanted].every((sign, i) => sign === '?' || sign === whole[from + i])) return wanted.length > 0;
  }
  return false;
}

/**
 * Birds by what was typed: part of the metal number, or the first letters of the name.
 * @template {{bird: {name: string, engraving: string}}} K
 * @param {K[]} known @param {string} typed @returns {K[]} names first
 */
export function numbered(known, typed) {
  const byName = known.filter(({ bird }) => matching([bird], typed).length);
  const byNumber = known.filter((one) => !byName.includes(one) && numberFits(one.bird.engraving, typed));
  return [...byName, ...byNumber];
}
