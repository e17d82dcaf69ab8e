import { describe, expect, it } from 'vitest';
import {
  collectCore,
  collectResiduals,
  coreTerms,
  makeCoreCollector,
  starPrecision,
} from '../../src/stars/core-collector.js';
import { pixelNodes } from '../../src/stars/moffat-profile.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

const nodes = pixelNodes(1);
const shape = { a: 4 / 9, b: 0, c: 4 / 9, gamma: 0 };
const star = { x: 12, y: 12, peak: 1000, shape, major: 3, minor: 3, angle: 0 };

describe('what stars leave over their fits', () => {
  it('is collected over the core, a star counting by its signal to noise up to a bound', () => {
    const window = windowOf(makeStarImage(gaussian(3), 12, 8), { flux: 10000, radius: 12 });
    const collector = makeCoreCollector(false);
    collectCore(collector, window, star, nodes, 0);
    // A circle of 1.8 x 1.5 px.
    expect(Math.abs(collector.pixels - Math.PI * 2.7 ** 2)).toBeLessThan(4);
    expect(collector.stars).toBe(1);
    expect(collector.normal[0] / collector.pixels).toBeCloseTo(starPrecision(1000), 3);
    expect(starPrecision(10)).toBeCloseTo(99, 0);
    expect(starPrecision(1e6)).toBeCloseTo(1e4, 0);
  });

  it('has round terms, or products of both axes', () => {
    expect(makeCoreCollector(false).terms).toHaveLength(8);
    const split = makeCoreCollector(true);
    expect(split.terms).toHaveLength(21);
    const t = split.terms.findIndex(([p, q]) => p === 1 && q === 1);
    // First Chebyshev polynomial of squared distances 0..1.8^2.
    const values = new Float64Array(split.terms.length + 1);
    const write = coreTerms(split.terms, values, 0);
    write(0, 3.24);
    expect(values[t]).toBeCloseTo(-1, 9);
    write(3.24, 3.24);
    expect(values[t]).toBeCloseTo(1, 9);
  });

  it("leaves out what a star's own height would take up", () => {
    const dx = Float32Array.from([0, 0.7, -0.8, 1.1, -1.3, 0.2]);
    const dy = Float32Array.from([0.1, -0.5, 0.9, 0.3, -0.4, 1.2]);
    const own = [Float32Array.from(dx, (x, k) => Math.exp(-(x * x + dy[k] * dy[k]) / 2))];
    const residual = own[0].map((v) => 20 * v);
    const plain = makeCoreCollector(false);
    collectResiduals(plain, { dx, dy, residual, own: [] }, star, 1000, 10);
    const projected = makeCoreCollector(false);
    collectResiduals(projected, { dx, dy, residual, own }, star, 1000, 10);
    expect(plain.squares).toBeGreaterThan(0.1);
    expect(Math.abs(projected.squares)).toBeLessThan(1e-6 * plain.squares);
    expect(Math.abs(projected.right[0])).toBeLessThan(1e-6 * Math.abs(plain.right[0]));
    expect(projected.normal[0]).toBeLessThan(plain.normal[0]);
    // The constant term over the height's derivative, by least squares.
    const best = own[0].reduce((s, v) => s + v, 0) / own[0].reduce((s, v) => s + v * v, 0);
    expect(projected.taken[0] / projected.takenWeight).toBeCloseTo((1000 * best) / star.peak, 5);
  });
});
