// @ts-check
// <pair-drawing one='{"name": …, "marks": …}' other='…' chances='{"usual": …}'>in words</pair-drawing>: what stands
// inside serves where no script runs.

import { drawPair } from '../shared/pair-drawing.js';
import { pagePalette } from './page-palette.js';

let drawn = 0;

class PairDrawing extends HTMLElement {
  static observedAttributes = ['one', 'other', 'chances'];
  #id = `pair-${(drawn += 1)}`;

  connectedCallback() {
    this.#render();
  }

  attributeChangedCallback() {
    if (this.isConnected) this.#render();
  }

  #render() {
    const [one, other, chances] = ['one', 'other', 'chances'].map((name) =>
      JSON.parse(this.getAttribute(name) || 'null')
    );
    if (one && other) this.innerHTML = drawPair(one, other, pagePalette(), this.#id, chances || {});
  }
}
customElements.define('pair-drawing', PairDrawing);
