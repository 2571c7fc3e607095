// @ts-check
// The elements every page may use.

import './band-drawing-element.js';
import './tally-rule-element.js';
import './this-device.js';
