// @ts-check
// <exhibit-plan of="told"></exhibit-plan>: the plan of an exhibit, drawn from the JSON of the script with that id.

import { planDrawing } from '../shared/plan-drawing.js';

class ExhibitPlan extends HTMLElement {
  connectedCallback() {
    const { plan, steps, names, birds, exhibit } = JSON.parse(
      document.getElementById(this.getAttribute('of') || '')?.textContent || '{}',
    );
    if (plan) this.innerHTML = planDrawing(plan, { steps, names: new Map(names), birds: new Map(birds), exhibit });
  }
}
customElements.define('exhibit-plan', ExhibitPlan);
