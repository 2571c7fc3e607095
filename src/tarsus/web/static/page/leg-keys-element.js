// @ts-check
// <leg-keys side="left" limb="leg" keys='["tibia=metal", …]' fits="0110…" pressed="2"></leg-keys>: the whole-leg keys
// of one side. Drawn once; a tap only changes which of them are pressed and which have faded, one sign of `fits` a key.

import { bandsOf } from '../shared/sides.js';
import { stackWords } from '../shared/words.js';
import { key as faceOf } from '../shared/band-drawing.js';
import { pagePalette } from './page-palette.js';
import { drawn, html } from './markup.js';

class LegKeys extends HTMLElement {
  static observedAttributes = ['keys', 'fits', 'pressed'];

  /** @type {HTMLButtonElement[]} */
  #buttons = [];

  connectedCallback() {
    this.#draw();
  }

  /** @param {string} name @param {string|null} before @param {string|null} after */
  attributeChangedCallback(name, before, after) {
    if (!this.#buttons.length || before === after) return;
    if (name === 'keys') this.#draw(); else this.#mark();
  }

  #draw() {
    const side = this.getAttribute('side') || '', limb = this.getAttribute('limb') || 'leg', palette = pagePalette();
    /** @type {string[]} */
    const keys = JSON.parse(this.getAttribute('keys') || '[]');
    this.innerHTML = html`${
      keys.map((one) =>
        html`<button type="button" class="lk" data-act="leg-key"
      data-side="${side}" data-stack="${one}"><span
      class="hide">${side} ${limb}: ${stackWords(bandsOf(one), limb)}</span
      >${drawn(faceOf({ bands: bandsOf(one), wing: limb === 'wing', palette }))}</button>`
      )
    }`.text;
    this.#buttons = [...this.querySelectorAll('button')];
    this.#mark();
  }

  #mark() {
    const fits = this.getAttribute('fits') || '', pressed = Number(this.getAttribute('pressed') ?? -1);
    this.#buttons.forEach((button, i) => {
      const is = String(i === pressed), out = fits[i] === '0';
      if (button.getAttribute('aria-pressed') !== is) button.setAttribute('aria-pressed', is);
      if (button.classList.contains('is-out') !== out) button.classList.toggle('is-out', out);
    });
  }
}
customElements.define('leg-keys', LegKeys);
