// @ts-check
// One photograph on this phone: opened, made smaller, tapped, weighed beside the page. What leaves the phone is what a
// sighting keeps of it, where the park wishes that.

import { patchAt } from '../shared/photo-patch.js';
import { fitted, NO_PICTURE, scaled } from '../shared/photo-scale.js';
import { exifTaken, HEAD_BYTES, whenTaken } from '../shared/photo-taken.js';
import { askedOf, nextWhat, NO_TAPS, tapsKept, withTap } from '../shared/photo-taps.js';
import { showPicture } from './photo-picture-element.js';

/** @typedef {import('../shared/pack.js').Bird} Bird */
/** @typedef {import('../worker/photograph.js').Weighed} Weighed */
/** @typedef {import('../worker/photograph.js').Opened} Opened */
/** @typedef {import('../shared/photo-taps.js').Taps} Taps */
/** @typedef {object} PhotoOf   whose legs it may show
 * @property {Bird[]} birds
 * @property {string} kind   what they are called here
 * @property {string[]} sites
 * @property {import('../shared/open-leg.js').Whole} whole
 * @property {'leg'|'wing'} limb
 * @property {Record<string, string>} palette
 * @property {Record<string, string>} faded
 * @property {import('../shared/photograph.js').Camera} [camera]   as it was learned
 * @property {import('../shared/pack.js').Reader} reader
 * @property {number} strangers
 * @property {number} [keeps]   for how many days the picture stays with its sighting
 * @property {number[]} [factors]
 * @property {string} asked   what the birds asked about depend on: another value is weighed anew */

/** The longer side of what is worked on: a picture of twelve megapixels is made smaller before anything else. */
const LONGEST = 2048;

/** The longer side of what is kept with a sighting. */
const LONGEST_KEPT = 1024;

/** @type {Worker|null} */
let beside = null;
/** @type {Map<number, {resolve: (answer: any) => void, reject: (error: Error) => void}>} */
const waiting = new Map();
let asks = 0;

function worker() {
  if (!beside) {
    beside = new Worker(new URL('../worker/photograph.js', import.meta.url), { type: 'module' });
    beside.addEventListener('message', ({ data: { id, answer, trouble } }) => {
      const asked = waiting.get(id);
      waiting.delete(id);
      if (trouble) asked?.reject(new Error(trouble)); else asked?.resolve(answer);
    });
    beside.addEventListener('error', () => {
      beside = null; // the next tap begins another
      for (const { reject } of waiting.values())
        reject(
          new Error('Photographs cannot be weighed on this phone: open the page once more in reach of the network.'),
        );
      waiting.clear();
    });
  }
  return beside;
}

/** Ask beside the page. @template T @param {Record<string, unknown>} what @param {Transferable[]} [given]
 * @returns {Promise<T>} */
function ask(what, given = []) {
  const id = asks += 1;
  return new Promise((resolve, reject) => {
    waiting.set(id, { resolve, reject });
    worker().postMessage({ id, ...what }, given);
  });
}

/** A picture of a size that is worked on: a file opened, turned as it was held; or one that is open, turned a quarter.
 * Beside the page, since twelve megapixels hold it for a second; on it where the browser has no canvas beside.
 * @param {File|HTMLCanvasElement} from */
async function opened(from) {
  const file = from instanceof File ? from : undefined, source = document.createElement('canvas');
  const whole = () =>
    createImageBitmap(from, file ? { imageOrientation: 'from-image' } : {}).catch(() => {
      throw new Error(NO_PICTURE);
    });
  if (typeof OffscreenCanvas !== 'undefined' && source.getContext('bitmaprenderer')) {
    const image = file ? undefined : await whole();
    const { width, height, pixels, mean, image: shown } =
      /** @type {Opened} */ (await ask({ picture: { file, image, longest: LONGEST } }, image ? [image] : []));
    Object.assign(source, { width, height });
    source.getContext('bitmaprenderer')?.transferFromImageBitmap(shown);
    return {
      source,
      width,
      height,
      mean,
      pixels: new ImageData(new Uint8ClampedArray(/** @type {ArrayBuffer} */ (pixels)), width, height),
    };
  }
  const image = await whole(),
    { width, height } = fitted(file ? image : { width: image.height, height: image.width }, LONGEST);
  const canvas = Object.assign(document.createElement('canvas'), { width, height }),
    found = scaled(image, canvas, !file);
  image.close();
  return { source: canvas, width, height, ...found };
}

export class PhotoDesk {
  /** @param {() => void} drawn  draws the page anew */
  constructor(drawn) {
    this.drawn = drawn;
    /** @type
     * {{source: HTMLCanvasElement, pixels: import('../shared/photo-scale.js').Scaled['pixels'], mean: number,
     * width: number, height: number}|null} */
    this.picture = null;
    /** what the file says of when it was taken @type {{exif: string|null, modified: number, camera: boolean}|null} */
    this.dated = null;
    /** @type {Taps} */
    this.told = NO_TAPS;
    /** @type {import('../shared/photo-taps.js').What} */
    this.what = 'metal';
    /** the site that the next tap goes to, as if the first leg were its left */
    this.on = '';
    /** @type {(Weighed & {numbers: number[]})|null} */
    this.answer = null;
    this.opening = false;
    this.weighing = 0;
    this.weighed = '';
  }

  /** What a sighting keeps of the photograph it was read in: the taps, and the picture made small. A canvas knows
   * nothing of place or maker. @param {PhotoOf} of
   * @returns {Promise<{own_camera: boolean, taps: Record<string, unknown>, picture: string}|null>} */
  async kept({ whole, sites }) {
    const { picture } = this, taps = tapsKept(this.told, askedOf(this.told, whole, sites));
    if (!picture || !taps) return null;
    const canvas = Object.assign(document.createElement('canvas'), fitted(picture, LONGEST_KEPT));
    canvas.getContext('2d')?.drawImage(picture.source, 0, 0, canvas.width, canvas.height);
    return {
      own_camera: Boolean(this.dated?.camera),
      taps: { mean: picture.mean, ...taps },
      picture: canvas.toDataURL('image/jpeg', 0.75).split(',')[1],
    };
  }

  /** When the picture was taken, as of this moment: one of now is soon one of before.
   * @returns {import('../shared/photo-taken.js').Taken} */
  get taken() {
    return this.dated ? whenTaken({ ...this.dated, now: Date.now() }) : { at: null, fresh: false, say: '' };
  }

  /** Make the tables of a palette while the picture is being taken. @param {PhotoOf} of */
  warm({ palette, faded }) {
    worker().postMessage({ warm: { palette, faded } });
  }

  /** Open a picture: turned as it was held, made smaller, its time read. @param {File} file
   * @param {boolean} camera  the phone was asked to take it */
  async open(file, camera) {
    this.clear();
    this.opening = true;
    this.drawn();
    try {
      const exif = exifTaken(new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer()));
      this.dated = { exif, modified: file.lastModified, camera };
      this.#take(await opened(file));
    } finally {
      this.opening = false;
    }
  }

  /** Turn the picture a quarter, so that the body is above; what was tapped is tapped anew. */
  async turn() {
    const before = this.picture;
    if (!before) return;
    const { dated } = this, turned = await opened(before.source);
    this.clear();
    this.dated = dated;
    this.#take(turned);
  }

  /** @param {NonNullable<PhotoDesk['picture']>} picture */
  #take(picture) {
    this.picture = picture;
    showPicture(picture);
  }

  /** No picture, nothing tapped. */
  clear() {
    this.picture = null;
    this.dated = null;
    this.retake();
    showPicture(null);
  }

  /** Nothing tapped: the picture stays. */
  retake() {
    this.told = NO_TAPS;
    this.what = 'metal';
    this.on = '';
    this.#nothingTold();
    this.weighed = '';
  }

  /** No answer, nor one that is still on its way: it tells of taps that are gone. */
  #nothingTold() {
    this.answer = null;
    this.weighing = 0;
  }

  /** One tap: a patch of the picture. @param {PhotoOf} of @param {{x: number, y: number, reach: number}} at */
  tap(of, { x, y, reach }) {
    if (!this.picture) return;
    const pixels = patchAt(this.picture.pixels, x, y, reach);
    if (!pixels.length) return;
    this.say(of, withTap(this.told, { what: this.what, x, y, site: this.site(of), pixels }));
    this.what = nextWhat(this.told);
  }

  /** The site that the next tap goes to. @param {PhotoOf} of @returns {string} */
  site({ sites }) {
    return sites.includes(this.on) ? this.on : sites[0];
  }

  /** Something else was told: it is weighed, and the page drawn again when that is done. @param {PhotoOf} of
   * @param {Taps} told */
  say(of, told) {
    this.told = told;
    this.ask(of);
  }

  /** Weigh what was tapped, unless that was done. @param {PhotoOf} of */
  ask(of) {
    const asked = this.picture && askedOf(this.told, of.whole, of.sites),
      key = asked
        ? `${of.asked}|${JSON.stringify([asked.layout, asked.swap, asked.numbers, this.told.taps.map(({ n }) => n)])}`
        : '';
    if (key === this.weighed) return;
    this.weighed = key;
    if (!asked || !this.picture) {
      this.#nothingTold();
      return;
    }
    const { numbers, ...rest } = asked, { birds, palette, faded, camera, reader, strangers, factors } = of;
    const told = ask({
        asked: {
          ...rest,
          mean: this.picture.mean,
          birds: birds.map(({ id: bird, marks, prior }) => ({ id: bird, marks, prior })),
          palette,
          faded,
          camera,
          reader,
          strangers,
          factors,
        },
      }),
      id = asks;
    this.weighing = id;
    told.then((answer) => {
      if (this.weighing !== id) return;
      this.answer = { .../** @type {Weighed} */ (answer), numbers };
      this.weighing = 0;
      this.drawn();
    }, (error) => {
      if (this.weighing !== id) return;
      this.#nothingTold(); // and not asked again before something else is told: else it would fail at each drawing
      this.failed?.(error);
    });
  }

  /** What the page does where weighing failed. @type {((error: Error) => void)|undefined} */
  failed;
}
