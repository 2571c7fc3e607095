// @ts-check
// A sound at each name: one note for seen, two falling for undone. Heard without looking, glasses at the eyes.

/** @type {AudioContext|null} */
let context = null;

/** Whether sounds were switched off on this phone. @returns {boolean} */
function off() {
  try {
    return localStorage.getItem('tarsus-sound') === 'off';
  } catch {
    return false;
  }
}

/** @param {AudioContext} ctx @param {number} hertz @param {number} after  seconds */
function note(ctx, hertz, after) {
  const tone = ctx.createOscillator(), loud = ctx.createGain(), start = ctx.currentTime + after;
  tone.frequency.value = hertz;
  loud.gain.setValueAtTime(0.0001, start);
  loud.gain.exponentialRampToValueAtTime(0.2, start + 0.012);
  loud.gain.exponentialRampToValueAtTime(0.0001, start + 0.14);
  tone.connect(loud).connect(ctx.destination);
  tone.start(start);
  tone.stop(start + 0.16);
}

/** @param {'seen'|'undone'|'refused'} what */
export function sound(what) {
  if (off()) return;
  try {
    context = context || new AudioContext();
    if (what === 'seen') note(context, 880, 0);
    else if (what === 'undone') {
      note(context, 660, 0);
      note(context, 440, 0.16);
    }
    else {
      note(context, 220, 0);
      note(context, 220, 0.2);
    }
  } catch {
    context = null; // a device without sound shows the name in large type all the same
  }
}
