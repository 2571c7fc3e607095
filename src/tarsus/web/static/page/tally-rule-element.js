// @ts-check
// <tally-rule of="64" seen="19" inferred="2">19 of 64 seen, 2 inferred</tally-rule>

import { tallyRule } from '../shared/tally-rule.js';

class TallyRule extends HTMLElement {
  static observedAttributes = ['of', 'seen', 'inferred'];

  connectedCallback() {
    const number = (/** @type {string} */ name) => Number(this.getAttribute(name) || 0);
    this.innerHTML = tallyRule({ of: number('of'), seen: number('seen'), inferred: number('inferred') });
  }

  attributeChangedCallback() {
    if (this.isConnected) this.connectedCallback();
  }
}
customElements.define('tally-rule', TallyRule);
