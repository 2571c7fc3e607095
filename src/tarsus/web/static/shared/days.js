// @ts-check
// Days that a deed may name: what has been, and what is planned. The twin of core/deeds/days.py: both pass
// tests/published/day_cases.json.

const DAY = 864e5;

/**
 * What is wrong with a day that was said, with the remedy; empty where it can be.
 * @param {{first: string|null, ahead: number|null}} field @param {string} said  as 2026-06-11
 * @param {string} today  the park's own day, written alike
 * @returns {string}
 */
export function wrongDay({ first, ahead }, said, today) {
  if (!/^\d{4}-\d\d-\d\d$/.test(said)) return `'${said}' is no day; write it as 2026-03-01`;
  const from = first ?? '', latest = new Date(Date.parse(today) + (ahead ?? 0) * DAY).toISOString().slice(0, 10);
  if (said >= from && said <= latest) return '';
  return `${said} lies too far ${said < from ? 'back' : 'ahead'}; give ${from} to ${latest}`;
}
