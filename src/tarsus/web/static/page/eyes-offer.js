// @ts-check
// The form of one's own eyes, filled in as practice on this phone suggests. The address's last part reaches no server,
// and nothing is stored before the form is saved.

import { EYES } from '../shared/practice-words.js';

const suggested = location.hash.slice(1), words = EYES[suggested];
const select = /** @type {HTMLSelectElement|null} */ (document.querySelector('select[name=colour_vision]'));

if (words && select) {
  select.value = suggested;
  const said = document.createElement('p');
  said.className = 'note';
  said.textContent =
    `Filled in as your practice suggests: ${words}. Change it if you know better; nothing is stored until you save.`;
  select.closest('form')?.before(said);
}
