import { describe, expect, it } from 'vitest';
import { choosePixels } from '../../src/stars/chosen-pixels.js';
import {
  collectCore,
  collectResiduals,
  coreTerms,
  makeCoreCollector,
  starPrecision,
} from '../../src/stars/core-collector.js';
import { pixelNodes } from '../../src/stars/moffat-profile.js';
import { placeModel } from '../../src/stars/placed-model.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

const nodes = pixelNodes(1);
const shape = { a: 4 / 9, b: 0, c: 4 / 9, gamma: 0 };
const star = { x: 12, y: 12, peak: 1000, shape, major: 3, minor: 3, angle: 0 };

describe('what stars leave over their fits', () => {
  it('is collected over the core, a star counting by its signal to noise', () => {
    const window = windowOf(makeStarImage(gaussian(3), 12, 8), { flux: 10000, radius: 12 });
    const collector = makeCoreCollector(false);
    collectCore(collector, window, star, nodes, 0);
    // A circle of 1.8 x 1.5 px.
    expect(Math.abs(collector.pixels - Math.PI * 2.7 ** 2)).toBeLessThan(4);
    expect(collector.stars).toBe(1);
    expect(collector.normal[0] / collector.pixels).toBeCloseTo(starPrecision(1000, window.noise, 0), 3);
  });

  it('counts a star by sky noise, by photon noise where that is larger, and never beyond its own ways', () => {
    // Height over noise 10: 100, less 0.2 % for the star's own ways.
    expect(starPrecision(100, 10, 0)).toBeCloseTo(100 / (1 + 100 * 0.004 ** 2), 9);
    // Height 1e4 e over a sky noise of 10 e: photons of a mean height of 4000 e, 40 times the sky's variance.
    const alike = starPrecision(1e4, 10, 1);
    expect(alike).toBeCloseTo(1e8 / (4000 + 100 + 1600), 6);
    // The same star in units of four electrons.
    expect(starPrecision(2500, 2.5, 0.25)).toBeCloseTo(alike, 6);
    expect(starPrecision(1e12, 10, 1)).toBeCloseTo(62500, 0);
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
    const window = windowOf(makeStarImage(gaussian(3), 12, 8), { flux: 10000, radius: 12 });
    const pixels = choosePixels(window, 12, 12, 3, 0);
    const model = placeModel(pixels, nodes);
    // A star 2 % brighter than its model: what is left is all of its height.
    const sums = (): number => model.sums([1000, 12, 12, shape.a, shape.b, shape.c], 0);
    sums();
    const profile = model.derivative(0).slice();
    pixels.desk.lines[2].set(profile.map((v) => 1020 * v));
    sums();
    const plain = makeCoreCollector(false);
    collectResiduals(plain, model, star, 1000, 10, 0);
    const projected = makeCoreCollector(false);
    collectResiduals(projected, model, star, 1000, 10, 1);
    expect(plain.squares).toBeGreaterThan(0.1);
    // Sums of 32-bit floats.
    expect(Math.abs(projected.squares)).toBeLessThan(1e-6 * plain.squares);
    expect(Math.abs(projected.right[0])).toBeLessThan(1e-6 * Math.abs(plain.right[0]));
    expect(projected.normal[0]).toBeLessThan(plain.normal[0]);
    expect(projected.pixels).toBe(pixels.count - 1);
    // The constant term, 1 within the core, over the height's derivative, by least squares.
    const [column, row] = pixels.desk.lines;
    const isNear = profile.map((_, k) => (Math.hypot(column[k] - 12, row[k] - 12) <= 2.7 ? 1 : 0));
    const best = isNear.reduce((s, v, k) => s + v * profile[k], 0) / profile.reduce((s, v) => s + v * v, 0);
    expect(projected.taken[0] / projected.takenWeight).toBeCloseTo((1000 * best) / star.peak, 5);
  });
});
