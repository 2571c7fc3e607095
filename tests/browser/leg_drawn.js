// Two legs in lamplight, drawn on a canvas: a JPEG, and where each band stands in it. Called by test_photograph.py.
(async ({ palette, legs, width, height, lying }) => {
  // CIE illuminant A against D65: the published white of each (CIE 015:2018, x .44757 y .40745 and x .31272
  // y .32903) in linear sRGB, after a camera that took out half of the difference.
  const of = (x, y) => {
    const X = x / y, Z = (1 - x - y) / y;
    return [
      3.2404542 * X - 1.5371385 - .4985314 * Z,
      -.969266 * X + 1.8760108 + .041556 * Z,
      .0556434 * X - .2040259 + 1.0572252 * Z,
    ];
  };
  const lamp = of(.44757, .40745), day = of(.31272, .32903);
  const cast = lamp.map((one, at) => Math.sqrt(Math.max(one, .02) / day[at]));
  const linear = (code) => {
    const s = code / 255;
    return s <= .04045 ? s / 12.92 : ((s + .055) / 1.055) ** 2.4;
  };
  const coded = (light) => {
    const s = Math.min(Math.max(light, 0), 1);
    return Math.round(255 * (s <= .0031308 ? s * 12.92 : 1.055 * s ** (1 / 2.4) - .055));
  };
  const lit = (hex, much) =>
    `rgb(${[1, 3, 5].map((at, c) => coded(linear(parseInt(hex.slice(at, at + 2), 16)) * cast[c] * much)).join()})`;
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  const brush = canvas.getContext('2d');
  brush.fillStyle = lit('#7d7a6a', .5);
  brush.fillRect(0, 0, width, height);
  const spots = [];
  legs.forEach((bands, leg) => {
    const x = width * (leg ? .62 : .38), w = width * .055, h = height * .085;
    brush.fillStyle = lit('#8f8a78', .5);
    brush.fillRect(x - w * .3, height * .1, w * .6, height * .8);
    bands.forEach((band, n) => {
      const y = height * .22 + n * h * 1.15, fill = brush.createLinearGradient(x - w / 2, 0, x + w / 2, 0);
      // A cylinder: darker towards its edges.
      for (const [stop, much] of [[0, .32], [.3, .62], [.7, .6], [1, .28]])
        fill.addColorStop(stop, lit(band === 'metal' ? '#c8c8c8' : palette[band], much));
      brush.fillStyle = fill;
      brush.fillRect(x - w / 2, y, w, h);
      brush.fillStyle = '#fff';
      brush.fillRect(x - w * .08, y + h * .1, w * .05, h * .12); // glare
      spots.push({ band, leg, x, y: y + h / 2 });
    });
  });
  // A phone held upright writes its picture lying on its side, and says so.
  const side = document.createElement('canvas');
  side.width = height;
  side.height = width;
  const turned = side.getContext('2d');
  turned.translate(0, width);
  turned.rotate(-Math.PI / 2);
  turned.drawImage(canvas, 0, 0);
  const blob = await new Promise((done) => (lying ? side : canvas).toBlob(done, 'image/jpeg', .9));
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return { jpeg: btoa(text), spots };
});
