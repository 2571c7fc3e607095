// @ts-check
// Numbers, chances and plurals as people read them. The twin of core/words/numbers.py;
// tests/published/words_cases.json.

const NUMBERS = 'none one two three four five six seven eight nine ten eleven twelve thirteen fourteen'.split(' ');

/** Words that are their own plural; so is whatever ends in *fowl*. */
const UNCHANGED = new Set(['dunlin', 'grouse', 'snipe', 'species', 'wildfowl']);
/** Plurals that no rule gives. @type {Map<string, string>} */
const IRREGULAR = new Map([['goose', 'geese'], ['man', 'men'], ['woman', 'women']]);

/** A number in words up to fourteen, in figures above. @param {number} n @returns {string} */
export const inWords = (n) => NUMBERS[n] || String(n);

/** @param {string} text @returns {string} */
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

/** Names in a row: a, b and c. @param {string[]} names @returns {string} */
export const inARow = (
  names,
) => (names.length < 2 ? names.join('') : `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}`);

/** A chance in whole per cent, the ends named as ends. @param {number} chance @returns {string} */
export function percent(chance) {
  if (chance < 0.01) return '< 1 %';
  return chance > 0.99 ? '> 99 %' : `${Math.floor(chance * 100 + 0.5)} %`;
}

/** Several of what a word names: avocets, ibises, barnacle geese, birds of paradise. @param {string} word
 * @returns {string} */
export function plural(word) {
  const of = word.indexOf(' of ');
  if (of >= 0) return plural(word.slice(0, of)) + word.slice(of);
  const gap = word.lastIndexOf(' ') + 1,
    before = word.slice(0, gap),
    last = word.slice(gap),
    small = last.toLowerCase();
  if (UNCHANGED.has(small) || small.endsWith('fowl')) return word;
  const many = IRREGULAR.get(small);
  if (many) return before + last.charAt(0) + many.slice(1);
  if (/[^aeiou]y$/.test(small)) return `${before}${last.slice(0, -1)}ies`;
  return `${before}${last}${/(?:s|x|z|ch|sh)$/.test(small) ? 'es' : 's'}`;
}

/** The word for so many: *day* for one, *days* for any other number. @param {string} word @param {number} n
 * @returns {string} */
export const counted = (word, n) => (n === 1 ? word : plural(word));
