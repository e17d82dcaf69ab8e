import type { FieldCell } from '../../src/field/types.js';
import type { JudgedFrame } from '../../src/night/types.js';

/** Field cells of a made-up frame: a tilt towards the bottom left and a curved field; all along one axis when it is trailed. */
export function cellsOf(px: number, trailed: boolean, next: () => number): FieldCell[] {
  return Array.from({ length: 35 }, (_, k) => {
    const column = k % 7;
    const row = Math.floor(k / 7);
    const u = (column - 3) / 3;
    const v = (row - 2) / 2;
    const fwhmPx = px * (1 - 0.04 * u * 0.85 - 0.04 * v * 0.53 + 0.05 * (u * u + v * v) - 0.03);
    const angle = trailed ? 31 : ((Math.atan2(v, u) * 180) / Math.PI + 180) % 180;
    return {
      column,
      row,
      x: ((column + 0.5) / 7) * 6248,
      y: ((row + 0.5) / 5) * 4176,
      stars: 18,
      fwhmPx,
      fwhmErrorPx: 0.03,
      elongation: trailed ? 1.5 : 1.03 + 0.12 * Math.hypot(u, v) + 0.02 * next(),
      angleDeg: angle,
      mxx: 1,
      mxy: 0,
      myy: 1,
      mError: 0.02,
      skewX: 0,
      skewY: 0,
      skewError: 0.02,
    };
  });
}

/** Corner figures of a made-up frame. */
export function cornersOf(px: number): JudgedFrame['field']['corners'] {
  return (['top-left', 'top-right', 'bottom-left', 'bottom-right'] as const).map((name, i) => ({
    name,
    fwhm: px * (1 + 0.03 * i),
    elongation: 1.12,
    angleDeg: 45,
    radial: 0.04,
    stars: 22,
  }));
}
