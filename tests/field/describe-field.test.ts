import { describe, expect, it } from 'vitest';
import { describeField } from '../../src/field/index.js';
import { madeStars } from './made-stars.js';

const W = 3000;
const H = 2000;
const half = Math.hypot(W, H) / 2;

describe('describeField', () => {
  it('finds the tilt plane, its direction and its span', () => {
    // 3 px in the middle, +10 % per half diagonal towards 30 degrees.
    const table = madeStars(600, W, H, (x, y) => ({
      fwhm:
        3 * (1 + (0.1 * (Math.cos(Math.PI / 6) * (x - W / 2) + Math.sin(Math.PI / 6) * (y - H / 2))) / half),
    }));
    const field = describeField(table, W, H);
    const span = 2 * 10 * ((Math.cos(Math.PI / 6) * W) / 2 / half + (Math.sin(Math.PI / 6) * H) / 2 / half);
    // Tolerance: three standard errors as the fit states them.
    expect(Math.abs(field.tilt!.fwhmSpanPercent - span)).toBeLessThan(3 * field.tilt!.fwhmSpanErrorPercent);
    expect(Math.abs(field.tilt!.directionDeg - 30)).toBeLessThan(8);
    expect(field.tilt!.fwhmSpanErrorPercent).toBeLessThan(2);
  });

  it('finds the bowl and the radial drawing-out of a curved, astigmatic field', () => {
    const table = madeStars(600, W, H, (x, y) => {
      const u = (x - W / 2) / half;
      const v = (y - H / 2) / half;
      const r2 = u * u + v * v;
      const e = 0.2 * r2;
      return { fwhm: 3 * (1 + 0.3 * r2), e1: (e * (u * u - v * v)) / r2, e2: (e * 2 * u * v) / r2 };
    });
    const field = describeField(table, W, H);
    expect(field.curvaturePercent).toBeGreaterThan(22);
    expect(field.curvaturePercent).toBeLessThan(32);
    // Mean r^2 of the outer field is about 0.57 on a 3:2 sensor, so 0.2 * 0.57.
    expect(field.radial).toBeGreaterThan(0.08);
    expect(field.radial).toBeLessThan(0.15);
    for (const corner of field.corners) expect(corner.radial).toBeGreaterThan(0.08);
  });

  it('does not take a common trail for a radial pattern', () => {
    const field = describeField(
      madeStars(600, W, H, () => ({ fwhm: 3, e1: 0.3 })),
      W,
      H,
    );
    expect(Math.abs(field.radial!)).toBeLessThan(0.02);
    expect(field.corners.every((corner) => corner.elongation! > 1.25)).toBe(true);
  });

  it('names the corners with top at large y', () => {
    const table = madeStars(600, W, H, (x, y) => ({ fwhm: x < W / 2 && y > H / 2 ? 5 : 3 }));
    const corners = describeField(table, W, H).corners;
    expect(corners.find((c) => c.name === 'top-left')!.fwhm).toBeGreaterThan(4.8);
    expect(corners.find((c) => c.name === 'bottom-right')!.fwhm).toBeLessThan(3.2);
  });

  it('keeps flagged stars and outliers out of the cells', () => {
    const table = madeStars(900, W, H, () => ({ fwhm: 3 }), { flag: (i) => (i % 10 === 0 ? 32 : 0) });
    for (let i = 0; i < table.count; i += 10) table.fwhm[i] = 30;
    for (let i = 1; i < table.count; i += 50) table.mxx[i] = 60;
    const field = describeField(table, W, H);
    for (const cell of field.cells) {
      expect(cell.fwhmPx).toBeLessThan(3.3);
      expect(cell.mxx).toBeLessThan(2.4);
    }
  });

  it('states errors that match the scatter of the cells', () => {
    const field = describeField(
      madeStars(2000, W, H, () => ({ fwhm: 3 }), { seed: 5 }),
      W,
      H,
    );
    const pulls = field.cells.map((cell) => ((cell.fwhmPx - 3) / cell.fwhmErrorPx) ** 2);
    const chi2 = pulls.reduce((a, b) => a + b, 0) / pulls.length;
    expect(chi2).toBeGreaterThan(0.4);
    expect(chi2).toBeLessThan(1.8);
  });

  it('answers null where a few stars cannot tell', () => {
    const field = describeField(
      madeStars(6, W, H, () => ({ fwhm: 3 })),
      W,
      H,
    );
    expect(field.tilt).toBeNull();
    expect(field.curvaturePercent).toBeNull();
    expect(field.radial).toBeNull();
    expect(field.corners.some((corner) => corner.fwhm === null)).toBe(true);
  });

  it('gives no cell for no star, and lives with NaN', () => {
    expect(
      describeField(
        madeStars(0, W, H, () => ({ fwhm: 3 })),
        W,
        H,
      ).cells,
    ).toHaveLength(0);
    const table = madeStars(40, W, H, () => ({ fwhm: 3 }));
    table.fwhm.fill(NaN);
    expect(describeField(table, W, H).cells).toHaveLength(0);
  });
});
