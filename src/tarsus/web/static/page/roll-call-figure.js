// @ts-check
// The large drawing: a bird told by natural marks, or the reading colour by colour.

import { seenSites } from '../shared/sides.js';
import { html } from './markup.js';

/** @typedef {import('../shared/pack.js').Bird} Bird */

/** A bird told by its marks, numbered where they are. @param {Bird} bird */
export function glyphFigure(bird) {
  const pins = JSON.stringify(bird.natural_marks.map(({ x, y }) => ({ x, y })));
  return html`<band-drawing at="figure" form="told" name="${bird.name}" pins="${pins}"></band-drawing>`;
}

/**
 * The reading as it grows, each site a button.
 * @param {{form: string, reading: import('../shared/pack.js').Reading, facing: string, active: string, look: string}}
 * of
 */
export function readingFigure({ form, reading, facing, active, look }) {
  const seen = Object.fromEntries(seenSites(reading));
  return html`<band-drawing at="figure" form="${form}" input reading marks="${JSON.stringify(seen)}"
    facing="${facing || 'away'}" active="${active}" look="${look}" data-k="figure"></band-drawing>`;
}
