// @ts-check
// <band-drawing marks='{"left tibia": ["metal"], "right tibia": ["yellow", "green"]}' form="tall">metal on the left,
// yellow over green on the right</band-drawing>: what stands inside serves where no script runs.

import { chip, draw } from '../shared/band-drawing.js';
import { pagePalette } from './page-palette.js';

/** @typedef {import('../shared/palette.js').Palette} Palette */

class BandDrawing extends HTMLElement {
  static observedAttributes = [
    'marks',
    'flags',
    'form',
    'facing',
    'at',
    'active',
    'look',
    'pins',
    'name',
    'reading',
    'input',
  ];

  /** @type {Palette | undefined} set it before the element is connected, or call `render()` after */
  palette;
  #drawn = false;

  connectedCallback() {
    this.render();
    this.#drawn = true;
    this.addEventListener('click', this.#chosen);
    this.addEventListener('keydown', this.#pressed);
  }

  attributeChangedCallback() {
    // An element put on the page hears of each attribute before it is drawn for the first time.
    if (this.isConnected && this.#drawn) this.render();
  }

  render() {
    const focused = this.contains(document.activeElement) ? document.activeElement : null;
    const site = focused instanceof SVGElement ? focused.dataset.site : undefined;
    this.innerHTML = draw({ ...this.#options(), palette: this.palette ?? pagePalette() });
    if (site) this.#site(site)?.focus();
  }

  /** @returns {Partial<import('../shared/band-sites.js').Drawing>} */
  #options() {
    const said = (/** @type {string} */ name, /** @type {string} */ usual) => this.getAttribute(name) || usual;
    return {
      marks: JSON.parse(said('marks', '{}')),
      flags: JSON.parse(said('flags', '{}')),
      pins: JSON.parse(said('pins', '[]')),
      form: /** @type {import('../shared/band-words.js').Form} */ (said('form', 'legs')),
      facing: /** @type {import('../shared/band-words.js').Facing} */ (said('facing', 'away')),
      at: /** @type {'close' | 'figure'} */ (said('at', 'close')),
      active: said('active', ''),
      look: said('look', ''),
      name: said('name', ''),
      reading: this.hasAttribute('reading'),
      quiet: this.hasAttribute('quiet'),
      input: this.hasAttribute('input'),
    };
  }

  /** @param {string} site */
  #site(site) {
    return /** @type {SVGElement | null} */ (this.querySelector(`[data-site="${site}"]`));
  }

  /** @param {Event} event */
  #chosen = (event) => {
    const site = event.target instanceof Element && event.target.closest('[data-site]')?.getAttribute('data-site');
    if (!site || !this.hasAttribute('input')) return;
    this.dispatchEvent(new CustomEvent('site-chosen', { detail: { site }, bubbles: true }));
  };

  /** @param {KeyboardEvent} event */
  #pressed = (event) => {
    if (event.key !== 'Enter' && event.key !== ' ') return;
    if (!this.hasAttribute('input')) return;
    event.preventDefault();
    this.#chosen(event);
  };
}
customElements.define('band-drawing', BandDrawing);

// <band-chip colour="yellow" flags="worn">yellow</band-chip>: one band by itself. Its name stands beside it in words.
class BandChip extends HTMLElement {
  connectedCallback() {
    this.innerHTML = chip(this.getAttribute('colour') || '?', pagePalette(), this.getAttribute('flags') || '');
  }
}
customElements.define('band-chip', BandChip);
