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
