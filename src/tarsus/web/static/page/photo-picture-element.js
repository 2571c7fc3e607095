// @ts-check
// <photo-picture pins='[{"n":1,"x":210,"y":90,"what":"metal"}]'></photo-picture>: a picture that is tapped. A finger
// shows a loupe above it and taps where it is lifted; two fingers pinch; arrow keys and Enter do the same.

/** @typedef {{source: HTMLCanvasElement, width: number, height: number}} Shown */
/** @typedef {{n: number, x: number, y: number, what: string}} Pin */

/** How far around a tap pixels are taken, on the screen: a band is narrower than a finger, and the loupe shows it. */
const REACH = 13;
const LOUPE = 58, LOUPE_ABOVE = 96, LARGER = 3, CLOSEST = 12, PIN = 11;

/** What is shown now; the page has one picture at a time. @type {Shown|null} */
let shown = null;

/** Show another picture, or none. @param {Shown|null} picture */
export function showPicture(picture) {
  shown = picture;
  for (const one of document.querySelectorAll('photo-picture')) /** @type {PhotoPicture} */ (one).fit();
}

class PhotoPicture extends HTMLElement {
  static observedAttributes = ['pins'];

  /** @type {Map<number, {x: number, y: number}>} */
  #fingers = new Map();
  /** where the loupe is, in pixels of the screen @type {{x: number, y: number}|null} */
  #aim = null;
  #pinched = false;
  /** pixels of the screen for one of the picture, and the picture's pixel in the upper left corner */
  #view = { scale: 1, x: 0, y: 0 };
  /** @type {HTMLCanvasElement} */
  #canvas = document.createElement('canvas');
  #watch = new ResizeObserver(() => this.fit());

  connectedCallback() {
    if (!this.firstChild) {
      const canvas = this.#canvas;
      canvas.tabIndex = 0;
      canvas.setAttribute('role', 'application');
      canvas.setAttribute('aria-label', 'The picture. Arrow keys move the loupe, Enter taps, plus and minus zoom.');
      canvas.addEventListener('pointerdown', (event) => this.#down(event));
      canvas.addEventListener('pointermove', (event) => this.#move(event));
      canvas.addEventListener('pointerup', (event) => this.#up(event, true));
      canvas.addEventListener('pointercancel', (event) => this.#up(event, false));
      canvas.addEventListener('wheel', (event) => {
        event.preventDefault();
        this.#zoom(event.deltaY < 0 ? 1.2 : 1 / 1.2, this.#at(event));
      }, { passive: false });
      canvas.addEventListener('keydown', (event) => this.#key(event));
      this.append(canvas, this.#button('+', 'Closer', 1.5), this.#button('−', 'Farther', 1 / 1.5));
    }
    this.#watch.observe(this);
  }

  disconnectedCallback() {
    this.#watch.disconnect();
  }

  attributeChangedCallback() {
    this.#draw();
  }

  /** The whole picture, as large as it goes. */
  fit() {
    const { clientWidth: width, clientHeight: height } = this;
    if (!shown || !width || !height) return;
    this.#canvas.width = Math.round(width * devicePixelRatio);
    this.#canvas.height = Math.round(height * devicePixelRatio);
    const scale = Math.min(width / shown.width, height / shown.height);
    this.#view = { scale, x: (shown.width - width / scale) / 2, y: (shown.height - height / scale) / 2 };
    this.#draw();
  }

  /** @param {string} sign @param {string} words @param {number} by */
  #button(sign, words, by) {
    const button = document.createElement('button');
    button.type = 'button';
    button.className = 'btn photo-zoom';
    button.textContent = sign;
    button.setAttribute('aria-label', words);
    button.addEventListener('click', () => this.#zoom(by, { x: this.clientWidth / 2, y: this.clientHeight / 2 }));
    return button;
  }

  /** @param {MouseEvent} event */
  #at(event) {
    const { left, top } = this.#canvas.getBoundingClientRect();
    return { x: event.clientX - left, y: event.clientY - top };
  }

  /** @param {PointerEvent} event */
  #down(event) {
    this.#canvas.setPointerCapture(event.pointerId);
    this.#fingers.set(event.pointerId, this.#at(event));
    this.#pinched = this.#fingers.size > 1;
    this.#aim = this.#pinched ? null : this.#at(event);
    this.#draw();
  }

  /** @param {PointerEvent} event */
  #move(event) {
    const before = this.#fingers.get(event.pointerId), now = this.#at(event);
    if (!before) return;
    if (this.#fingers.size === 2) {
      const other = [...this.#fingers].find(([id]) => id !== event.pointerId)?.[1] || before;
      const apart = Math.hypot(before.x - other.x, before.y - other.y),
        then = Math.hypot(now.x - other.x, now.y - other.y);
      const middle = { x: (now.x + other.x) / 2, y: (now.y + other.y) / 2 };
      this.#view.x -= (now.x - before.x) / 2 / this.#view.scale;
      this.#view.y -= (now.y - before.y) / 2 / this.#view.scale;
      if (apart > 8) this.#zoom(then / apart, middle);
    } else if (!this.#pinched) this.#aim = now;
    this.#fingers.set(event.pointerId, now);
    this.#draw();
  }

  /** @param {PointerEvent} event @param {boolean} taps */
  #up(event, taps) {
    if (!this.#fingers.delete(event.pointerId)) return;
    const at = this.#aim;
    if (this.#fingers.size) return;
    this.#aim = null;
    this.#draw();
    if (taps && at && !this.#pinched) this.#tap(at);
    this.#pinched = false;
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const step = /** @type {Record<string, [number, number]>} */ ({
      ArrowLeft: [-4, 0],
      ArrowRight: [4, 0],
      ArrowUp: [0, -4],
      ArrowDown: [0, 4],
    })[event.key];
    const middle = { x: this.clientWidth / 2, y: this.clientHeight / 2 };
    if (step) this.#aim = { x: (this.#aim || middle).x + step[0], y: (this.#aim || middle).y + step[1] };
    else if (event.key === 'Enter' && this.#aim) this.#tap(this.#aim);
    else if (event.key === '+' || event.key === '-') this.#zoom(event.key === '+' ? 1.5 : 1 / 1.5, this.#aim || middle);
    else return;
    event.preventDefault();
    this.#draw();
  }

  /** @param {{x: number, y: number}} at */
  #tap(at) {
    if (!shown) return;
    const { scale, x, y } = this.#view;
    this.dispatchEvent(
      new CustomEvent('photo-tapped', {
        bubbles: true,
        detail: { x: x + at.x / scale, y: y + at.y / scale, reach: REACH / scale },
      }),
    );
  }

  /** @param {number} by @param {{x: number, y: number}} about  what stays where it is */
  #zoom(by, about) {
    if (!shown) return;
    const least = Math.min(this.clientWidth / shown.width, this.clientHeight / shown.height),
      { scale, x, y } = this.#view;
    const next = Math.max(least, Math.min(Math.max(CLOSEST, least * CLOSEST), scale * by));
    this.#view = { scale: next, x: x + about.x / scale - about.x / next, y: y + about.y / scale - about.y / next };
    this.#draw();
  }

  #draw() {
    const brush = this.#canvas.getContext('2d');
    if (!brush || !shown || !this.#canvas.width) return;
    const { scale, x, y } = this.#view;
    brush.setTransform(devicePixelRatio, 0, 0, devicePixelRatio, 0, 0);
    brush.fillStyle = '#000';
    brush.fillRect(0, 0, this.clientWidth, this.clientHeight);
    brush.imageSmoothingEnabled = scale < 2;
    brush.drawImage(shown.source, -x * scale, -y * scale, shown.width * scale, shown.height * scale);
    for (const pin of /** @type {Pin[]} */ (JSON.parse(this.getAttribute('pins') || '[]'))) this.#pin(brush, pin);
    if (this.#aim) this.#loupe(brush, this.#aim, shown);
  }

  /** @param {CanvasRenderingContext2D} brush @param {Pin} pin */
  #pin(brush, { n, x, y }) {
    const at = { x: (x - this.#view.x) * this.#view.scale, y: (y - this.#view.y) * this.#view.scale };
    const side = at.x < this.clientWidth / 2 ? -1 : 1, out = { x: at.x + side * 44, y: at.y };
    for (const [style, width] of /** @type {const} */ ([['rgba(0,0,0,.7)', 4], ['#fff', 1.6]])) {
      brush.strokeStyle = style;
      brush.lineWidth = width;
      brush.beginPath();
      brush.arc(at.x, at.y, 6, 0, 7);
      brush.moveTo(at.x + side * 6, at.y);
      brush.lineTo(out.x - side * PIN, out.y);
      brush.stroke();
    }
    brush.fillStyle = '#111';
    brush.beginPath();
    brush.arc(out.x, out.y, PIN, 0, 7);
    brush.fill();
    brush.stroke();
    brush.fillStyle = '#fff';
    brush.font = '700 14px system-ui';
    brush.textAlign = 'center';
    brush.textBaseline = 'middle';
    brush.fillText(String(n), out.x, out.y + 1);
  }

  /** What lies under the finger, larger, above it. @param {CanvasRenderingContext2D} brush
   * @param {{x: number, y: number}} at @param {Shown} picture */
  #loupe(brush, at, picture) {
    // A hand comes from below: near the upper edge the loupe stands beside the finger.
    const { scale, x, y } = this.#view,
      beside = at.y - LOUPE_ABOVE < LOUPE,
      aside = at.x < this.clientWidth / 2 ? LOUPE_ABOVE : -LOUPE_ABOVE;
    const cx = Math.max(LOUPE, Math.min(this.clientWidth - LOUPE, beside ? at.x + aside : at.x)),
      cy = beside ? LOUPE : at.y - LOUPE_ABOVE;
    const larger = scale * LARGER;
    brush.save();
    brush.beginPath();
    brush.arc(cx, cy, LOUPE, 0, 7);
    brush.clip();
    brush.fillStyle = '#000';
    brush.fillRect(cx - LOUPE, cy - LOUPE, 2 * LOUPE, 2 * LOUPE);
    brush.drawImage(
      picture.source,
      cx - (x + at.x / scale) * larger,
      cy - (y + at.y / scale) * larger,
      picture.width * larger,
      picture.height * larger,
    );
    brush.restore();
    for (const [style, width] of /** @type {const} */ ([['rgba(0,0,0,.7)', 4], ['#fff', 1.8]])) {
      brush.strokeStyle = style;
      brush.lineWidth = width;
      brush.beginPath();
      brush.arc(cx, cy, LOUPE, 0, 7);
      brush.moveTo(cx + REACH * LARGER, cy);
      brush.arc(cx, cy, REACH * LARGER, 0, 7);
      brush.moveTo(cx - 6, cy);
      brush.lineTo(cx + 6, cy);
      brush.moveTo(cx, cy - 6);
      brush.lineTo(cx, cy + 6);
      brush.stroke();
    }
  }
}
customElements.define('photo-picture', PhotoPicture);
