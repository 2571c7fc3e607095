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
/** @typedef
 * {{names: string[], chances: Float64Array[], light: Float64Array, bands: Float64Array[], means: Float64Array[]}}
 * Photographed
 *   chances: a row a band; bands: a colour's fit at [light and exposure * colours + colour]; means: over colours */
/** @typedef {{exponent: number, ageing: number[], ageing_of?: Record<string, number[]>}} Camera   what was learned of
 * this phone's camera
 *   and of the park's bands; ageing_of: of each colour that is known to age otherwise */
/** @typedef {Record<string, (number|string)[]>} Layout   of each site in the picture which tapped band, or a word of a
 * reading */

export const BURNT_OUT = 250, BLACK = 20, FEWEST_OF_METAL = 3, TOO_DARK = 45, STRONG_CAST = 0.8;
const DARKEST = 1e-3;
const FREEDOM = 8,
  ANYTHING = 0.01,
  METAL_SPREAD = 0.13,
  METAL_FREEDOM = 3,
  USUAL_STOPS = 2.2,
  STOPS_SPREAD = 1,
  DARKEST_MEAN = 1e-4;
const LEAST = 1e-6, MOST = 512, LEAST_LIGHT = 1e-9, REMEMBERED = 32;

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
  if (bands.some((pixels) => pixels.filter((pixel) => brightest(pixel) >= BURNT_OUT).length >= pixels.length / 2))
    doubts.push('clipped');
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
    const told = light.map((one) => ({ ratio: Math.log(one[at] / one[1]), weight: luminance(one) })).sort((a, b) =>
      a.ratio - b.ratio
    );
    const half = told.reduce((sum, one) => sum + one.weight, 0) / 2 - 1e-12;
    let running = 0;
    return /** @type {{ratio: number}} */ (told.find((one) => {
      running += one.weight;
      return running >= half;
    })).ratio;
  });
}

/** How well each colour explains one band under each light and exposure. @param {Looks} looks @param {number[]} colour
 * @param {Camera} camera */
function fitOf({ names, encoded: shown, spread, shade }, colour, { exponent, ageing, ageing_of: own = {} }) {
  const kinds = names.length, ways = AGEING.length, cells = spread.length / (kinds * ways);
  const [red, green, blue] = colour.map(encoded),
    weights = Float64Array.from(names.flatMap((name) => own[name] ?? ageing));
  const fit = new Float64Array(cells * kinds), per = 1 / (NOISE * NOISE);
  for (let x = 0; x < cells; x += 1) {
    let sum = 0;
    for (let k = 0; k < kinds; k += 1) {
      let chance = 0;
      for (let v = 0; v < ways; v += 1) {
        const at = (x * kinds + k) * ways + v, z = at * 3;
        const r = red - shown[z], g = green - shown[z + 1], b = blue - shown[z + 2];
        const along = r * shown[z] + g * shown[z + 1] + b * shown[z + 2];
        // To the power of (FREEDOM + 3) / 2 = 5.5, without a logarithm: this is done a hundred thousand times a band.
        const one = 1 + ((r * r + g * g + b * b) * per - shade[at] * along * along) / FREEDOM, squared = one * one;
        chance += (weights[k * ways + v] * spread[at]) / (squared * squared * one * Math.sqrt(one));
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

/** Logarithm of each light and exposure before the bands. @param {Looks} looks @param {Tapped} taps
 * @returns {Float64Array} */
function lightOf({ prior, metal }, { cast, mean }) {
  const stops = EXPOSURES.map((stop) =>
    -0.5 * ((stop - Math.log2(Math.max(mean, DARKEST_MEAN)) - USUAL_STOPS) / STOPS_SPREAD) ** 2
  );
  const light = new Float64Array(prior.length * stops.length);
  prior.forEach((one, l) => {
    const apart = cast ? cast.reduce((sum, value, at) => sum + ((value - metal[l][at]) / METAL_SPREAD) ** 2, 0) : 0;
    const weight = one - ((METAL_FREEDOM + 2) / 2) * Math.log1p(apart / METAL_FREEDOM);
    stops.forEach((stop, e) => {
      light[l * stops.length + e] = weight + stop;
    });
  });
  return light;
}

/** @param {Float64Array} fit @param {number} kinds @returns {Float64Array} */
const meansOf = (fit, kinds) =>
  Float64Array.from({ length: fit.length / kinds }, (_, x) => {
    let sum = 0;
    for (let k = 0; k < kinds; k += 1) sum += fit[x * kinds + k];
    return sum / kinds;
  });

/** Weigh the colours of all tapped bands together. @param {Looks} looks @param {Tapped} taps @param {Camera} [camera]
 * @param {Map<string, Float64Array>} [fits]  what bands gave before, of these looks and this camera: a band more is one
 * more to fit
 * @returns {Photographed} */
export function photographed(looks, taps, camera = AS_THOUGHT, fits = new Map()) {
  const kinds = looks.names.length, light = lightOf(looks, taps);
  const bands = taps.bands.map((colour) => {
    const key = colour.join(' '), fit = fits.get(key) ?? fitOf(looks, colour, camera);
    if (fits.size >= REMEMBERED) fits.clear();
    fits.set(key, fit);
    return fit;
  });
  const means = bands.map((fit) => meansOf(fit, kinds)), logs = means.map((mean) => mean.map(Math.log));
  const chances = bands.map((fit, own) => {
    const others = light.slice(), row = new Float64Array(kinds);
    logs.forEach((log, at) => {
      for (let x = 0; at !== own && x < log.length; x += 1) others[x] += log[x];
    });
    const most = others.reduce((a, b) => Math.max(a, b), -Infinity);
    for (let x = 0; x < others.length; x += 1) {
      const share = Math.exp(others[x] - most);
      for (let k = 0; k < kinds; k += 1) row[k] += share * fit[x * kinds + k];
    }
    const whole = row.reduce((sum, one) => sum + one, 0);
    return row.map((one) => one / whole);
  });
  return { names: looks.names, chances, light, bands, means };
}

/** Lights and exposures that are likely at all with all bands, and their weights; the rest are together under
 * `LEAST_LIGHT`.
 * @param {Photographed} photo @returns {{cells: Int32Array, weights: Float64Array}} */
function likelyLights({ light, means }) {
  const logs = light.slice();
  for (const mean of means) for (let x = 0; x < logs.length; x += 1) logs[x] += Math.log(mean[x]);
  const most = logs.reduce((a, b) => Math.max(a, b), -Infinity), every = logs.map((log) => Math.exp(log - most));
  const least = (LEAST_LIGHT * every.reduce((sum, one) => sum + one, 0)) / every.length;
  const cells = Int32Array.from(every.keys()).filter((x) => every[x] >= least);
  return { cells, weights: Float64Array.from(cells, (x) => every[x]) };
}

/** The joint colours that the bands may have, the likeliest first; those hardly likely are left out.
 * @param {Photographed} photo @returns {{colours: number[], share: number}[]} */
export function colourings(photo) {
  const { names, bands, means } = photo, kinds = names.length, { cells, weights: first } = likelyLights(photo);
  const many = cells.length;
  let found = [{ colours: /** @type {number[]} */ ([]), share: 1 }], weights = first;
  bands.forEach((fit, at) => {
    // What the band adds to each light and colour, divided once: the loops below are where the time goes.
    const part = new Float64Array(many * kinds), grown = new Float64Array(found.length * kinds);
    cells.forEach((x, y) => {
      for (let k = 0; k < kinds; k += 1) part[y * kinds + k] = fit[x * kinds + k] / means[at][x] / kinds;
    });
    for (let one = 0; one < found.length; one += 1)
      addShares(grown, one * kinds, kinds, weights, one * many, many, part);
    const least = LEAST * grown.reduce((sum, share) => sum + share, 0);
    const kept = Int32Array.from(grown.keys()).filter((one) => grown[one] >= least).sort((a, b) =>
      grown[b] - grown[a] || a - b
    ).subarray(0, MOST);
    if (at < bands.length - 1) weights = grownWeights(kept, kinds, weights, many, part);
    found = Array.from(
      kept,
      (one) => ({ colours: [...found[Math.floor(one / kinds)].colours, one % kinds], share: grown[one] }),
    );
  });
  const whole = found.reduce((sum, one) => sum + one.share, 0);
  return found.map(({ colours, share }) => ({ colours, share: share / whole }));
}

/** Add up, from `to` on, how likely each colour of the next band is by the weights that lights have from `from` on.
 * @param {Float64Array} shares @param {number} to @param {number} kinds @param {Float64Array} weights
 * @param {number} from
 * @param {number} many @param {Float64Array} part */
function addShares(shares, to, kinds, weights, from, many, part) {
  for (let y = 0, z = 0; y < many; y += 1) {
    const weight = weights[from + y];
    for (let k = 0; k < kinds; k += 1, z += 1) shares[to + k] += weight * part[z];
  }
}

/** What weights lights have once the band that was added has its colour: a row a colouring that is kept.
 * @param {Int32Array} kept  row that it grew from * kinds + colour @param {number} kinds @param {Float64Array} weights
 * @param {number} many
 * @param {Float64Array} part @returns {Float64Array} */
function grownWeights(kept, kinds, weights, many, part) {
  const rows = new Float64Array(kept.length * many);
  for (let row = 0; row < kept.length; row += 1) {
    const from = Math.floor(kept[row] / kinds) * many, k = kept[row] % kinds;
    for (let y = 0; y < many; y += 1) rows[row * many + y] = weights[from + y] * part[y * kinds + k];
  }
  return rows;
}

/** A reader for photographs: what colour a band is they say, everything else can still go wrong.
 * @param {import('./pack.js').Reader} reader @returns {import('./pack.js').Reader} */
export const readerOfPhotographs = (reader) => ({
  ...reader,
  confusion: Object.fromEntries(Object.keys(reader.confusion).map((word) => [word, {}])),
});

/** The photograph as a reading. @param {Photographed} photo @param {Layout} layout @param {number[]} colours
 * @param {number} [swap]
 * @returns {import('./pack.js').Reading} */
export function readingOf({ names }, layout, colours, swap) {
  const sites = Object.entries(layout).map((
    [site, bands],
  ) => [site, bands.map((band) => (typeof band === 'string' ? band : names[colours[band]]))]);
  return Object.fromEntries(swap === undefined ? sites : [...sites, ['swap', swap]]);
}

/**
 * Who the bird may be, the likeliest first, the photograph in its likeliest colours, and where to look next.
 * @param {PreparedFlock} flock  prepared for `readerOfPhotographs` @param {Photographed} photo @param {Layout} layout
 * @param {{strangers?: number, out?: Set<number>, factors?: number[], swap?: number}} [given]
 * @returns
 * {{candidates: {id: number, chance: number}[], noneOfThese: number, reading: import('./pack.js').Reading,
 * lookNext: string|null}}
 */
export function whose(flock, photo, layout, given = {}) {
  const joint = colourings(photo), reading = readingOf(photo, layout, joint[0].colours, given.swap);
  const all = joint.map(({ colours, share }) => {
    const weights = posterior(flock, readingOf(photo, layout, colours, given.swap), given);
    return { weights, share: share * weights.evidence };
  });
  const whole = all.reduce((sum, one) => sum + one.share, 0);
  const shares = whole > 0 ? all.map((one) => one.share / whole) : all.map((_, at) => (at ? 0 : 1));
  const straight = new Float64Array(all[0].weights.straight.length), crossed = new Float64Array(straight.length);
  let otherwise = 0, noneOfThese = 0;
  all.forEach(({ weights: one }, at) => {
    const share = shares[at];
    otherwise += share * one.otherwise;
    noneOfThese += share * one.noneOfThese;
    for (let h = 0; h < straight.length; h += 1) {
      straight[h] += share * one.straight[h];
      crossed[h] += share * one.crossed[h];
    }
  });
  const candidates = flock.ids.map((id, b) => ({ id, chance: straight[b] + crossed[b] })).filter((one) =>
    one.chance >= 1e-6
  );
  candidates.sort((a, b) => b.chance - a.chance);
  return {
    candidates,
    noneOfThese,
    reading,
    lookNext: lookNext(flock, reading, { straight, crossed, otherwise, noneOfThese, evidence: whole }),
  };
}
