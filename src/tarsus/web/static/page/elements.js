// @ts-check
// The elements every page may use.
// Decision 0006.

import './band-drawing-element.js';
import './exhibit-plan-element.js';
import './tally-rule-element.js';
import './this-device.js';
