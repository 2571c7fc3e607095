// @ts-check
// The page that sets the plan of an exhibit: a place is chosen and the plan tapped, lines are drawn with finger or
// mouse, arrow keys do both. What stands in the form's hidden fields is what is sent; a picture is made small before it
// goes.

import { planDrawing } from '../shared/plan-drawing.js';

/** @typedef {import('../shared/search-walk.js').Plan} Plan */

const STEP = 0.01, FAR = 0.05, APART = 0.012, MOST_POINTS = 150, PIXELS = 1200;

const form = /** @type {HTMLFormElement} */ (document.getElementById('plan-form'));
const host = /** @type {HTMLElement} */ (document.getElementById('plan-edit'));
const says = /** @type {HTMLElement} */ (document.getElementById('plan-says'));
const now = JSON.parse(document.getElementById('plan-now')?.textContent || '{}');
const names = /** @type {Map<number, string>} */ (new Map(now.names));
/** the points of the line that is being drawn; none where the next tap begins one @type {[number, number][] | null} */
let drawing = null;
/** where the arrow keys are while drawing @type {[number, number]} */
let cursor = [0.5, 0.5];
let picture = /** @type {string} */ (now.picture), tall = /** @type {number} */ (now.tall);
let down = false;

/** @param {string} name */
const field = (name) => /** @type {HTMLInputElement} */ (form.elements.namedItem(name));
const held = () => /** @type {RadioNodeList} */ (form.elements.namedItem('held'))?.value || '';
const drawn = () => /** @type {Plan['shapes']} */ (JSON.parse(field('shapes').value || '[]'));
/** @param {number} value */
const kept = (value) => Math.round(Math.min(1, Math.max(0, value)) * 1000) / 1000;

/** The names of the two fields that hold what is chosen. @returns {[string, string] | null} */
function fields() {
  const what = held();
  if (what === 'entrance') return ['entrance_x', 'entrance_y'];
  return what.startsWith('p') ? [`x_${what.slice(1)}`, `y_${what.slice(1)}`] : null;
}

/** @param {[string, string]} of @returns {[number, number] | null} */
function at([x, y]) {
  return field(x).value === '' || field(y).value === '' ? null : [Number(field(x).value), Number(field(y).value)];
}

/** The plan as the form holds it. @returns {Plan} */
function plan() {
  const pins = [...names.keys()].flatMap((place) => {
    const spot = at([`x_${place}`, `y_${place}`]);
    return spot ? [{ place, x: spot[0], y: spot[1], minutes: 1 }] : [];
  });
  return {
    width_m: 1,
    tall,
    metres_a_minute: 1,
    entrance: at(['entrance_x', 'entrance_y']),
    pins,
    shapes: drawn(),
    picture,
  };
}

/** @param {string} [said] */
function show(said = '') {
  const what = held(), place = what.startsWith('p') ? Number(what.slice(1)) : null;
  host.innerHTML = planDrawing(plan(), { names, held: place, exhibit: now.exhibit });
  field('tall').value = String(tall);
  for (const one of /** @type {NodeListOf<HTMLElement>} */ (document.querySelectorAll('[data-at]')))
    one.textContent = at([`x_${one.dataset.at}`, `y_${one.dataset.at}`]) ? 'pinned' : 'no pin yet';
  const lines = what.startsWith('s'), spot = fields();
  shown('plan-new', lines && drawing !== null);
  shown('plan-undo', lines && drawn().length > 0);
  shown('plan-off', Boolean(spot && at(spot)));
  if (lines) mark();
  says.textContent = said ||
    (lines
      ? 'Tap point by point, or draw with a finger. Next line begins another.'
      : what === 'entrance'
      ? 'Tap where the walk begins.'
      : place
      ? `Tap where ${names.get(place)} is.`
      : '');
}

/** Where the arrow keys are, as a cross. */
function mark() {
  const svg = host.querySelector('svg'), [x, y] = cursor;
  if (svg)
    svg.insertAdjacentHTML(
      'beforeend',
      `<path class="cross" d="M${x * 360 - 9} ${y * 360 * tall}h18M${x * 360} ${y * 360 * tall - 9}v18"/>`,
    );
}

/** @param {string} id @param {boolean} on */
function shown(id, on) {
  const button = document.getElementById(id);
  if (button) button.hidden = !on;
}

/** @param {number} x @param {number} y */
function put(x, y) {
  const spot = fields();
  if (spot) {
    field(spot[0]).value = String(kept(x));
    field(spot[1]).value = String(kept(y));
    return show();
  }
  if (held().startsWith('s')) point(kept(x), kept(y));
}

/** One more point of the line that is drawn, or the first of a new one. @param {number} x @param {number} y */
function point(x, y) {
  const shapes = drawn(), what = held().slice(1), last = drawing?.at(-1);
  cursor = [x, y];
  if (last && Math.hypot(x - last[0], y - last[1]) < APART) return show();
  if (drawing && drawing.length < MOST_POINTS) shapes.pop(); else drawing = null;
  drawing = [...(drawing || []), [x, y]];
  // A line of one point is two on the same spot, until the next tap.
  const told = drawing.length === 1 ? [drawing[0], drawing[0]] : drawing;
  shapes.push({ what, points: told.map(([a, b]) => `${a},${b}`).join(' ') });
  field('shapes').value = JSON.stringify(shapes);
  show();
}

function undo() {
  const shapes = drawn();
  if (drawing && drawing.length > 1) {
    drawing = drawing.slice(0, -1);
    const told = drawing.length === 1 ? [drawing[0], drawing[0]] : drawing;
    shapes[shapes.length - 1] = { ...shapes[shapes.length - 1], points: told.map(([a, b]) => `${a},${b}`).join(' ') };
  } else {
    shapes.pop();
    drawing = null;
  }
  field('shapes').value = JSON.stringify(shapes);
  show();
}

/** @param {PointerEvent} event */
function tapped(event) {
  // The drawing may stand within a larger box: its own matrix knows where.
  const on = host.querySelector('svg')?.getScreenCTM();
  if (!on) return;
  const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(on.inverse());
  put(x / 360, y / (360 * tall));
}

host.addEventListener('pointerdown', (event) => {
  down = true;
  host.focus({ preventScroll: true });
  host.setPointerCapture(event.pointerId);
  tapped(event);
});
host.addEventListener('pointermove', (event) => {
  if (down) tapped(event);
});
for (const over of ['pointerup', 'pointercancel'])
  host.addEventListener(over, () => {
    down = false;
  });

/** @type {Record<string, [number, number]>} */
const WAYS = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };

host.addEventListener('keydown', (event) => {
  const way = WAYS[event.key], by = event.shiftKey ? FAR : STEP, spot = fields();
  if (way) {
    event.preventDefault();
    const from = spot ? at(spot) || [0.5, 0.5] : cursor,
      to = /** @type {[number, number]} */ ([kept(from[0] + way[0] * by), kept(from[1] + (way[1] * by) / tall)]);
    if (spot) return put(...to);
    cursor = to;
    return show();
  }
  if (event.key !== 'Enter') return;
  event.preventDefault();
  put(...(spot ? at(spot) || [0.5, 0.5] : cursor));
});

form.addEventListener('change', async (event) => {
  const input = /** @type {HTMLInputElement} */ (event.target);
  if (input.name === 'held') drawing = null;
  if (input.name === 'without_picture') picture = input.checked ? '' : now.picture;
  if (input.name === 'picture') return chosen(input);
  return show();
});
document.getElementById('plan-new')?.addEventListener('click', () => {
  drawing = null;
  show();
});
document.getElementById('plan-undo')?.addEventListener('click', undo);
document.getElementById('plan-off')?.addEventListener('click', () => {
  for (const name of fields() || []) field(name).value = '';
  host.focus();
  show();
});

/** A picture was chosen: shown at once, and made small before it goes. @param {HTMLInputElement} input */
async function chosen(input) {
  const file = input.files?.[0];
  if (!file) return show();
  try {
    const image = await createImageBitmap(file), scale = Math.min(1, PIXELS / Math.max(image.width, image.height));
    const canvas = document.createElement('canvas');
    [canvas.width, canvas.height] = [Math.round(image.width * scale), Math.round(image.height * scale)];
    const pen = canvas.getContext('2d');
    if (!pen) return show();
    pen.fillStyle = '#fff';
    pen.fillRect(0, 0, canvas.width, canvas.height);
    pen.drawImage(image, 0, 0, canvas.width, canvas.height);
    const small = /** @type {Blob | null} */ (await new Promise((done) => {
      canvas.toBlob(done, 'image/jpeg', 0.85);
    }));
    if (!small) return show();
    const files = new DataTransfer();
    files.items.add(new File([small], 'plan.jpg', { type: 'image/jpeg' }));
    input.files = files.files;
    picture = canvas.toDataURL('image/jpeg', 0.85).split(',')[1];
    tall = Math.min(5, Math.max(0.2, canvas.height / canvas.width));
    field('without_picture').checked = false;
    show();
  } catch {
    show('That is no picture that this browser can show; the park’s computer says what it makes of it.');
  }
}

show();
