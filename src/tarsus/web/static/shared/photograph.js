// @ts-check
// Bands in a photograph: which colours they have, all bands, the metal, every light and exposure weighed together, and
// whose legs these are. The twin of core/photographs: both pass tests/published/photograph_cases.json.

import { AGEING, encoded, EXPOSURES, linear, luminance, NOISE } from './photograph-looks.js';
import { lookNext } from './looking.js';
import { posterior } from './reading.js';

/** @typedef {import('./photograph-looks.js').Looks} Looks */
/** @typedef {import('./reading.js').PreparedFlock} PreparedFlock */
/** @typedef {number[]} Pixel   codes, 0 to 255 */
/** @typedef {{bands: number[][], cast: number[]|null, mean: number, doubts: string[]}} Tapped   bands in linear sRGB */
/** @typedef {{names: string[], chances: Float64Array[], light: Float64Array, bands: Float64Array[]}} Photographed
 *   chances: a row a band; bands: a colour's fit at [light and exposure * colours + colour] */
/** @typedef {{exponent: number, ageing: number[]}} Camera   what was learned of this phone's camera and of the park's bands */
/** @typedef {Record<string, (number|string)[]>} Layout   of each site in the picture which tapped band, or a word of a reading */

export const BURNT_OUT = 250, BLACK = 20, FEWEST_OF_METAL = 3, TOO_DARK = 45, STRONG_CAST = 0.8;
const DARKEST = 1e-3;
const FREEDOM = 8, ANYTHING = 0.01, METAL_SPREAD = 0.13, METAL_FREEDOM = 3, USUAL_STOPS = 2.2, STOPS_SPREAD = 1, DARKEST_MEAN = 1e-4;
const LEAST = 1e-6, MOST = 512;

/** Every camera and every park before anything was checked. @type {Camera} */
export const AS_THOUGHT = { exponent: 1, ageing: AGEING.map(([weight]) => weight) };

/** What to do about each doubt. @type {Record<string, string>} */
export const REMEDIES = {
  'too dark': 'Too dark to tell colours: retake with more light.',
  clipped: 'Half a band is burnt out: retake darker.',
  'metal burnt out': 'The metal is burnt out: tap white plumage in its place, or retake darker.',
  'strong coloured light': 'Strongly coloured light: colours are less sure than they look; retake in daylight.',
  'tap all bands': 'One band alone tells little of the light: tap all bands.',
  'no metal tapped': 'No metal tapped: tap the metal band, or white plumage, to show the light.',
};

/** @param {number[]} values @returns {number} */
function median(values) {
  const sorted = [...values].sort((a, b) => a - b), half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}

/** @param {Pixel} pixel @returns {number} */
const brightest = (pixel) => Math.max(...pixel);

/**
 * Boil the taps of a photograph down: one colour a band (the median of each channel), the metal's cast, and the doubts.
 * @param {Pixel[][]} bands @param {Pixel[]|null} metal @param {number} mean  of the picture's linear luminance
 * @returns {Tapped}
 */
export function tapped(bands, metal, mean) {
  const colours = bands.map((pixels) => [0, 1, 2].map((at) => median(pixels.map((pixel) => linear(pixel[at])))));
  const cast = metal && metalCast(metal);
  const doubts = [];
  if (bands.some((pixels) => median(pixels.map(brightest)) < TOO_DARK)) doubts.push('too dark');
  if (bands.some((pixels) => pixels.filter((pixel) => brightest(pixel) >= BURNT_OUT).length >= pixels.length / 2)) doubts.push('clipped');
  if (!metal) doubts.push('no metal tapped');
  else if (!cast) doubts.push(median(metal.map(brightest)) > BLACK ? 'metal burnt out' : 'too dark');
  else if (Math.max(...cast.map(Math.abs)) > STRONG_CAST) doubts.push('strong coloured light');
  if (bands.length === 1) doubts.push('tap all bands');
  return { bands: colours, cast, mean, doubts: [...new Set(doubts)] };
}

/** Log red/green and log blue/green of the metal, medians weighted by luminance; null where too few pixels are good.
 * @param {Pixel[]} pixels @returns {number[]|null} */
export function metalCast(pixels) {
  const good = pixels.filter((pixel) => brightest(pixel) < BURNT_OUT && brightest(pixel) > BLACK);
  if (good.length < FEWEST_OF_METAL) return null;
  const light = good.map((pixel) => pixel.map((code) => Math.max(linear(code), DARKEST)));
  return [0, 2].map((at) => {
    const told = light.map((one) => ({ ratio: Math.log(one[at] / one[1]), weight: luminance(one) })).sort((a, b) => a.ratio - b.ratio);
    const half = told.reduce((sum, one) => sum + one.weight, 0) / 2 - 1e-12;
    let running = 0;
    return /** @type {{ratio: number}} */ (told.find((one) => { running += one.weight; return running >= half; })).ratio;
  });
}

/** How well each colour explains one band under each light and exposure. @param {Looks} looks @param {number[]} colour @param {Camera} camera */
function fitOf(looks, colour, { exponent, ageing }) {
  const kinds = looks.names.length, ways = AGEING.length, cells = looks.logSpread.length / (kinds * ways);
  const own = colour.map(encoded), fit = new Float64Array(cells * kinds), per = 1 / (NOISE * NOISE);
  for (let x = 0; x < cells; x += 1) {
    let sum = 0;
    for (let k = 0; k < kinds; k += 1) {
      let chance = 0;
      for (let v = 0; v < ways; v += 1) {
        const at = (x * kinds + k) * ways + v, z = at * 3;
        const r = own[0] - looks.encoded[z], g = own[1] - looks.encoded[z + 1], b = own[2] - looks.encoded[z + 2];
        const along = r * looks.encoded[z] + g * looks.encoded[z + 1] + b * looks.encoded[z + 2];
        const square = (r * r + g * g + b * b) * per - looks.shade[at] * along * along;
        chance += ageing[v] * Math.exp(looks.logSpread[at] - ((FREEDOM + 3) / 2) * Math.log1p(square / FREEDOM));
      }
      fit[x * kinds + k] = chance;
      sum += chance;
    }
    const any = (ANYTHING * sum) / kinds;
    for (let k = 0; k < kinds; k += 1) {
      const mixed = (1 - ANYTHING) * fit[x * kinds + k] + any;
      fit[x * kinds + k] = exponent === 1 ? mixed : mixed ** exponent;
    }
  }
  return fit;
}

/** Logarithm of each light and exposure before the bands. @param {Looks} looks @param {Tapped} taps @returns {Float64Array} */
function lightOf({ prior, metal }, { cast, mean }) {
  const stops = EXPOSURES.map((stop) => -0.5 * ((stop - Math.log2(Math.max(mean, DARKEST_MEAN)) - USUAL_STOPS) / STOPS_SPREAD) ** 2);
  const light = new Float64Array(prior.length * stops.length);
  prior.forEach((one, l) => {
    const apart = cast ? cast.reduce((sum, value, at) => sum + ((value - metal[l][at]) / METAL_SPREAD) ** 2, 0) : 0;
    const weight = one - ((METAL_FREEDOM + 2) / 2) * Math.log1p(apart / METAL_FREEDOM);
    stops.forEach((stop, e) => { light[l * stops.length + e] = weight + stop; });
  });
  return light;
}

/** @param {Float64Array} fit @param {number} kinds @returns {Float64Array} */
const meansOf = (fit, kinds) => Float64Array.from({ length: fit.length / kinds }, (_, x) => {
  let sum = 0;
  for (let k = 0; k < kinds; k += 1) sum += fit[x * kinds + k];
  return sum / kinds;
});

/** Weigh the colours of all tapped bands together. @param {Looks} looks @param {Tapped} taps @param {Camera} [camera] @returns {Photographed} */
export function photographed(looks, taps, camera = AS_THOUGHT) {
  const kinds = looks.names.length, light = lightOf(looks, taps);
  const bands = taps.bands.map((colour) => fitOf(looks, colour, camera));
  const means = bands.map((fit) => meansOf(fit, kinds).map(Math.log));
  const chances = bands.map((fit, own) => {
    const others = light.map((weight, x) => means.reduce((sum, mean, at) => (at === own ? sum : sum + mean[x]), weight));
    const most = others.reduce((a, b) => Math.max(a, b), -Infinity), row = new Float64Array(kinds);
    others.forEach((weight, x) => {
      const share = Math.exp(weight - most);
      for (let k = 0; k < kinds; k += 1) row[k] += share * fit[x * kinds + k];
    });
    const whole = row.reduce((sum, one) => sum + one, 0);
    return row.map((one) => one / whole);
  });
  return { names: looks.names, chances, light, bands };
}

/** The joint colours that the bands may have, the likeliest first; those hardly likely are left out.
 * @param {Photographed} photo @returns {{colours: number[], share: number}[]} */
export function colourings({ names, light, bands }) {
  const kinds = names.length, means = bands.map((fit) => meansOf(fit, kinds));
  const cells = light.map((weight, x) => means.reduce((sum, mean) => sum + Math.log(mean[x]), weight));
  const most = cells.reduce((a, b) => Math.max(a, b), -Infinity);
  let found = [{ colours: /** @type {number[]} */ ([]), weights: cells.map((weight) => Math.exp(weight - most)), share: 1 }];
  bands.forEach((fit, at) => {
    // What the band adds to each light and colour, divided once: the loops below are where the time goes.
    const part = fit.map((one, x) => one / means[at][Math.floor(x / kinds)] / kinds);
    const grown = found.flatMap(({ colours, weights }) => {
      const shares = new Float64Array(kinds);
      for (let x = 0; x < weights.length; x += 1) for (let k = 0, y = x * kinds; k < kinds; k += 1) shares[k] += weights[x] * part[y + k];
      return names.map((_, k) => ({ colours, k, weights, share: shares[k] }));
    });
    const whole = grown.reduce((sum, one) => sum + one.share, 0), last = at === bands.length - 1;
    found = grown.sort((a, b) => b.share - a.share).slice(0, MOST).filter((one) => one.share >= LEAST * whole)
      .map(({ colours, k, weights, share }) => ({ colours: [...colours, k], share, weights: last ? weights : weights.map((weight, x) => weight * part[x * kinds + k]) }));
  });
  const whole = found.reduce((sum, one) => sum + one.share, 0);
  return found.sort((a, b) => b.share - a.share).map(({ colours, share }) => ({ colours, share: share / whole }));
}

/** A reader for photographs: what colour a band is they say, everything else can still go wrong.
 * @param {import('./pack.js').Reader} reader @returns {import('./pack.js').Reader} */
export const readerOfPhotographs = (reader) => ({ ...reader, confusion: Object.fromEntries(Object.keys(reader.confusion).map((word) => [word, {}])) });

/** The photograph as a reading. @param {Photographed} photo @param {Layout} layout @param {number[]} colours @param {number} [swap]
 * @returns {import('./pack.js').Reading} */
export function readingOf({ names }, layout, colours, swap) {
  const sites = Object.entries(layout).map(([site, bands]) => [site, bands.map((band) => (typeof band === 'string' ? band : names[colours[band]]))]);
  return Object.fromEntries(swap === undefined ? sites : [...sites, ['swap', swap]]);
}

/**
 * Who the bird may be, the likeliest first, the photograph in its likeliest colours, and where to look next.
 * @param {PreparedFlock} flock  prepared for `readerOfPhotographs` @param {Photographed} photo @param {Layout} layout
 * @param {{strangers?: number, out?: Set<number>, factors?: number[], swap?: number}} [given]
 * @returns {{candidates: {id: number, chance: number}[], noneOfThese: number, reading: import('./pack.js').Reading, lookNext: string|null}}
 */
export function whose(flock, photo, layout, given = {}) {
  const joint = colourings(photo), reading = readingOf(photo, layout, joint[0].colours, given.swap);
  const all = joint.map(({ colours, share }) => {
    const weights = posterior(flock, readingOf(photo, layout, colours, given.swap), given);
    return { weights, share: share * weights.evidence };
  });
  const whole = all.reduce((sum, one) => sum + one.share, 0);
  const shares = whole > 0 ? all.map((one) => one.share / whole) : all.map((_, at) => (at ? 0 : 1));
  const mixed = (/** @type {(weights: import('./reading.js').Weights) => number} */ of) => all.reduce((sum, one, at) => sum + shares[at] * of(one.weights), 0);
  const candidates = flock.ids.map((id, b) => ({ id, chance: mixed((w) => w.straight[b] + w.crossed[b]) })).filter((one) => one.chance >= 1e-6);
  candidates.sort((a, b) => b.chance - a.chance);
  const across = (/** @type {'straight'|'crossed'} */ way) => all[0].weights[way].map((_, h) => mixed((w) => w[way][h]));
  const weights = { straight: across('straight'), crossed: across('crossed'), otherwise: mixed((w) => w.otherwise), noneOfThese: mixed((w) => w.noneOfThese), evidence: whole };
  return { candidates, noneOfThese: weights.noneOfThese, reading, lookNext: lookNext(flock, reading, weights) };
}
