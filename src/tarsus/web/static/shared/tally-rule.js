// @ts-check
// The tally rule: one tick a bird. Tall is seen, tall and hollow inferred, short unseen.

/**
 * @param {{of: number, seen?: number, inferred?: number}} tally
 * @returns {string} one `<svg>` element
 */
export function tallyRule({ of, seen = 0, inferred = 0 }) {
  const width = 640;
  const step = width / Math.max(1, of);
  const w = Math.min(6, step * 0.55);
  const ticks = Array.from({ length: of }, (_, i) => {
    const x = i * step + (step - w) / 2;
    const tick = i < seen
      ? `<rect class="t-sure" x="${x.toFixed(2)}" y="2" width="${w.toFixed(2)}" height="24"/>`
      : i < seen + inferred
      ? `<rect class="t-near" x="${(x + 0.8).toFixed(2)}" y="2.8" width="${
        Math.max(0.4, w - 1.6).toFixed(2)
      }" height="22.4"/>`
      : `<rect class="t-todo" x="${(x + w / 2 - 1).toFixed(2)}" y="16" width="2" height="10"/>`;
    return (i + 1) % 10 ? tick : `${tick}<path class="t-ten" d="M${((i + 1) * step).toFixed(2)} 26v7"/>`;
  });
  const words = `${seen} of ${of} seen${inferred ? `, ${inferred} inferred` : ''}`;
  const base = `<path class="t-base" d="M0 26.5H${width}"/>`;
  return `<svg viewBox="0 0 ${width} 34" preserveAspectRatio="none" role="img" aria-label="${words}">${base}${
    ticks.join('')
  }</svg>`;
}
