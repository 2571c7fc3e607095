// @ts-check
// Who is it?, by a photograph of its legs: in any exhibit, as a reading is answered.

import { choices } from './roll-call-pieces.js';
import { html } from './markup.js';
import { photoActs, photoView } from './photo-view.js';
import { fitTiles, WHERE } from './who-read.js';

/** @typedef {import('./who-state.js').Who} Who */

const FEW = 4, MANY = 8;

/** @param {Who} who */
export function view(who) {
  const forms = who.forms(), at = new Map(who.known().map((one) => [one.bird.id, one]));
  return html`${
    forms.length > 1 &&
    choices({
      label: 'Where the bands are',
      act: 'photo-form',
      kind: 'species',
      of: forms.map((form) => ({ value: form, words: WHERE[form] })),
      chosen: who.form,
    })
  }${
    photoView(who.photo, who.photoOf(), ({ candidates, verdict }) => {
      const many = verdict.kind === 'several' ? Math.max(FEW, Math.min(MANY, verdict.several)) : FEW;
      return fitTiles(
        candidates.slice(0, many).map(({ bird, chance }) => ({
          .../** @type {import('./who-state.js').Known} */ (at.get(bird.id)),
          chance,
        })),
      );
    })
  }`;
}

/** @type {Record<string, (who: Who, button: HTMLElement) => unknown>} */
export const acts = {
  ...photoActs((/** @type {Who} */ who) => ({ desk: who.photo, of: who.photoOf() })),
  'photo-form': (who, button) => {
    who.choose(/** @type {Who['form']} */ (button.dataset.value));
    who.photo.retake();
  },
};
