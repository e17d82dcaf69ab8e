import { medianInPlace, groupedNormalCore, normalCore } from '../stats/index.js';
import type { StarWindow } from './star-window.js';

const sample = new Float64Array(1024);

/**
 * Sky about one star, ADU above the window's sky map: the normal core of the pixels in a ring of radii `inner`..`outer` px about 0-based (x, y),
 * neighbours' light left out by keeping below +2.5 sd. Also its standard error.
 *
 * `quantum` (ADU): step of rounded values, 0 when there is none; modelled where the noise is not much larger.
 * Fewer than 20 usable pixels in the ring: level 0 (the map stands), error the pixel noise over 5.
 */
export function localBackground(
  window: StarWindow,
  x: number,
  y: number,
  inner: number,
  outer: number,
  quantum = 0,
): { readonly level: number; readonly error: number } {
  const area = Math.PI * (outer * outer - inner * inner);
  const stride = Math.max(1, Math.ceil(area / 500));
  let n = 0;
  let turn = 0;
  const low = inner * inner;
  const high = outer * outer;
  for (let j = 0; j < window.height; j += 1) {
    const dy = window.y0 + j - y;
    for (let i = 0; i < window.width; i += 1) {
      const dx = window.x0 + i - x;
      const r2 = dx * dx + dy * dy;
      if (r2 < low || r2 > high) continue;
      const k = j * window.width + i;
      if (!window.usable[k]) continue;
      turn += 1;
      if (turn % stride !== 0 || n >= sample.length) continue;
      sample[n++] = window.values[k];
    }
  }
  if (n < 20) return { level: 0, error: window.noise / 5 };
  const median = medianInPlace(sample, n);
  const start = { mean: median, sd: window.noise };
  const core =
    window.noise < 2 * quantum
      ? groupedNormalCore(sample, n, quantum, start, 2.5)
      : normalCore(sample, n, start, 3, 2.5);
  const isSane = core.used >= n / 4 && Math.abs(core.mean - median) < 2 * window.noise;
  return { level: isSane ? core.mean : median, error: (1.3 * window.noise) / Math.sqrt(n) };
}
