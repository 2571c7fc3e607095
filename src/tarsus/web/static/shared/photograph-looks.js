// @ts-check
// How each colour of a palette may look in a photograph: aged, under every cast and exposure that is weighed. The twin
// of core/photographs/light.py and renderings.py; docs/science/photographs.md, eq. 1 and 2. Made once a palette, in a
// worker; some 0.3 million numbers for thirteen colours.

/** Linear sRGB to CIE XYZ (IEC 61966-2-1), and XYZ to the responses that a change of light scales (CAT16, Li et al.
 * 2017). */
const SRGB_TO_XYZ = [[0.4124564, 0.3575761, 0.1804375], [0.2126729, 0.7151522, 0.0721750], [
  0.0193339,
  0.1191920,
  0.9503041,
]];
const CAT16 = [[0.401288, 0.650173, -0.051461], [-0.250268, 1.204414, 0.045854], [-0.002079, 0.048952, 0.953127]];
/** What each linear channel adds to luminance (ITU-R BT.709). */
export const LUMINANCE = [0.2126, 0.7152, 0.0722];

const DAYLIGHT_MIRED = 153.75, DAYLIGHT_DUV = 0.0032;
const MIRED = Array.from({ length: 14 }, (_, step) => -110 + 26 * step);
const DUV = [-0.03, -0.02, -0.01, 0, 0.01, 0.02, 0.03];
const MIRED_SPREAD = 50, DUV_SPREAD = 0.01, CAST_FREEDOM = 3, DARKEST_CHANNEL = 0.02;

export const EXPOSURES = Array.from({ length: 12 }, (_, step) => -4 + 0.5 * step);
/** How bands age: weight, share that is faded, share under mud. */
export const AGEING = [[0.35, 0, 0], [0.17, 0.15, 0], [0.12, 0.3, 0], [0.15, 0, 0.17], [0.09, 0, 0.38], [
  0.12,
  0.15,
  0.25,
]];
const FADED = 0.55, MUD = [0.20, 0.155, 0.10];
export const NOISE = 0.028;
const SHADE = 0.25;

/** @typedef {number[]} Triple */
/** @typedef {{names: string[], casts: number, encoded: Float64Array, spread: Float64Array, shade: Float64Array,
 *   prior: Float64Array, metal: Triple[]}} Looks   the arrays run cast, exposure, colour, way of ageing (, channel) */

/** @param {number[][]} matrix @param {Triple} vector @returns {Triple} */
const times = (matrix, [a, b, c]) => matrix.map((row) => row[0] * a + row[1] * b + row[2] * c);
/** @param {number[][]} one @param {number[][]} other @returns {number[][]} */
const product = (one, other) =>
  one.map((row) => [0, 1, 2].map((at) => row.reduce((sum, value, k) => sum + value * other[k][at], 0)));

/** @param {number[][]} m @returns {number[][]} */
function inverse(m) {
  const [[a, b, c], [d, e, f], [g, h, i]] = m;
  const whole = a * (e * i - f * h) - b * (d * i - f * g) + c * (d * h - e * g);
  return [[e * i - f * h, c * h - b * i, b * f - c * e], [f * g - d * i, a * i - c * g, c * d - a * f], [
    d * h - e * g,
    b * g - a * h,
    a * e - b * d,
  ]].map((row) => row.map((value) => value / whole));
}

const TO_RESPONSES = product(CAT16, SRGB_TO_XYZ);
const FROM_RESPONSES = inverse(TO_RESPONSES);
const FROM_XYZ = inverse(SRGB_TO_XYZ);

/** The colour of a glowing body, u and v (Krystek 1985). @param {number} t  kelvin @returns {[number, number]} */
export function planckian(t) {
  return [
    (0.860117757 + 1.54118254e-4 * t + 1.28641212e-7 * t * t) / (1 + 8.42420235e-4 * t + 7.08145163e-7 * t * t),
    (0.317398726 + 4.22806245e-5 * t + 4.20481691e-8 * t * t) / (1 - 2.89741816e-5 * t + 1.61456053e-7 * t * t),
  ];
}

/** The linear sRGB of a white sheet of luminance 1 under a light. @param {number} mired @param {number} duv
 * @returns {Triple} */
function white(mired, duv) {
  const kelvin = 1e6 / mired;
  const [u1, v1] = planckian(kelvin * 1.001), [u0, v0] = planckian(kelvin * 0.999), [u, v] = planckian(kelvin);
  const along = [u1 - u0, v1 - v0], length = Math.hypot(along[0], along[1]);
  const sign = Math.sign(along[0]);
  const cu = u + ((-along[1] / length) * sign) * duv, cv = v + ((along[0] / length) * sign) * duv;
  const scale = 2 * cu - 8 * cv + 4, x = (3 * cu) / scale, y = (2 * cv) / scale;
  return times(FROM_XYZ, [x / y, 1, (1 - x - y) / y]).map((channel) => Math.max(channel, DARKEST_CHANNEL));
}

/** @param {number} distance @returns {number} */
const stray = (distance) => (-(CAST_FREEDOM + 1) / 2) * Math.log1p((distance * distance) / CAST_FREEDOM);

/** All casts that are weighed, and the logarithm of how likely each is.
 * @returns {{sheets: Triple[], prior: Float64Array}} */
function casts() {
  const neutral = white(DAYLIGHT_MIRED, DAYLIGHT_DUV);
  const all = MIRED.flatMap((mired) =>
    DUV.map((duv) => {
      const sheet = white(DAYLIGHT_MIRED + mired, duv + DAYLIGHT_DUV).map((channel, at) => channel / neutral[at]);
      const bright = luminance(sheet);
      return {
        sheet: sheet.map((channel) => channel / bright),
        prior: stray(mired / MIRED_SPREAD) + stray(duv / DUV_SPREAD),
      };
    })
  );
  return { sheets: all.map((one) => one.sheet), prior: Float64Array.from(all, (one) => one.prior) };
}

/** @param {Triple} light @returns {number} */
export const luminance = (light) => light.reduce((sum, channel, at) => sum + channel * LUMINANCE[at], 0);
/** Linear light as it is compared: a power near a camera's. @param {number} channel @returns {number} */
export const encoded = (channel) => 0.8 * Math.max(channel, 0) ** (1 / 2.4);
/** Linear sRGB of a code, 0 to 255 (IEC 61966-2-1). @param {number} code @returns {number} */
export function linear(code) {
  const share = code / 255;
  return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
}
/** @param {string} hex @returns {Triple} */
const linearOf = (hex) => [1, 3, 5].map((at) => linear(parseInt(hex.slice(at, at + 2), 16)));

/** A palette's colours in each way of ageing, colour after colour. @param {[string, string][]} palette
 * @param {Record<string, string>} faded @returns {Triple[]} */
function aged(palette, faded) {
  return palette.flatMap(([name, hex]) => {
    const fresh = linearOf(hex), old = faded[name] ? linearOf(faded[name]) : [FADED, FADED, FADED];
    return AGEING.map(([, fade, mud]) =>
      fresh.map((channel, at) => (1 - mud) * ((1 - fade) * channel + fade * old[at]) + mud * MUD[at])
    );
  });
}

/**
 * Lay out how a palette's colours may look.
 * @param {Record<string, string>} palette  colours when new
 * @param {Record<string, string>} [faded]  looks when old, where known
 * @returns {Looks}
 */
export function looksOf(palette, faded = {}) {
  const { sheets, prior } = casts();
  const colours = aged(Object.entries(palette), faded).map((colour) => times(TO_RESPONSES, colour));
  const whole = TO_RESPONSES.map((row) => row[0] + row[1] + row[2]);
  const stops = EXPOSURES.map((stop) => 2 ** stop);
  const cells = sheets.length * stops.length * colours.length;
  const shown = new Float64Array(cells * 3), spread = new Float64Array(cells), shade = new Float64Array(cells);
  sheets.forEach((sheet, l) => {
    const gains = times(TO_RESPONSES, sheet).map((response, at) => response / whole[at]);
    colours.forEach((colour, k) => {
      const look = times(FROM_RESPONSES, colour.map((response, at) => response * gains[at])).map((channel) =>
        Math.max(channel, 0)
      );
      stops.forEach((stop, e) => {
        const cell = (l * stops.length + e) * colours.length + k;
        let square = 0;
        for (let c = 0; c < 3; c += 1) {
          const channel = encoded(Math.min(look[c] * stop, 1));
          shown[cell * 3 + c] = channel;
          square += channel * channel;
        }
        const bright = square / 9;
        spread[cell] = 1 / Math.sqrt(1 + (SHADE * SHADE * bright) / (NOISE * NOISE));
        shade[cell] = (SHADE * SHADE) / (NOISE * NOISE * (NOISE * NOISE + SHADE * SHADE * bright)) / 9;
      });
    });
  });
  const metal = sheets.map((sheet) => [Math.log(sheet[0] / sheet[1]), Math.log(sheet[2] / sheet[1])]);
  return { names: Object.keys(palette), casts: sheets.length, encoded: shown, spread, shade, prior, metal };
}
