import { describe, expect, it } from 'vitest';
import { choosePixels } from '../../src/stars/chosen-pixels.js';
import { moffatHeight, pixelNodes } from '../../src/stars/moffat-profile.js';
import { placeModel } from '../../src/stars/placed-model.js';
import { gaussian } from '../scenes/profiles.js';
import { makeStarImage } from '../scenes/star-image.js';
import { windowOf } from '../scenes/window.js';

describe('the profile on the desk', () => {
  const window = windowOf(makeStarImage(gaussian(3), 12, 6), { flux: 5000, radius: 8 });
  const nodes = pixelNodes(3);
  const pixels = choosePixels(window, 8, 8, 4, 0);
  const [column, row, value] = pixels.desk.lines;
  const shape = { a: 0.4, b: 0.05, c: 0.5, gamma: 0.2 };
  const model = placeModel(pixels, nodes);
  const parameters = [500, 8.2, 7.9, shape.a, shape.b, shape.c];

  it('leaves residuals and derivatives at each pixel, and their sums', () => {
    const cost = model.sums(parameters, shape.gamma);
    const residual = model.residual();
    const byHeight = model.derivative(0);
    let squares = 0;
    for (let k = 0; k < pixels.count; k += 1) {
      const height = moffatHeight(shape, nodes, column[k] - 8.2, row[k] - 7.9);
      expect(byHeight[k]).toBeCloseTo(height, 4);
      expect(Math.abs(residual[k] - (value[k] - 500 * height))).toBeLessThan(0.02);
      squares += residual[k] ** 2;
    }
    expect(Math.abs(cost / squares - 1)).toBeLessThan(1e-5);
    expect(model.normal[0]).toBeCloseTo(
      byHeight.reduce((sum, v) => sum + v * v, 0),
      4,
    );
  });

  it('gives the derivative by the exponent as finite differences do', () => {
    const at = (gamma: number): Float32Array => {
      model.sums(parameters, gamma);
      return model.residual().slice();
    };
    const step = 0.01;
    const above = at(shape.gamma + step);
    const below = at(shape.gamma - step);
    model.sums(parameters, shape.gamma);
    model.derivative(6).forEach((d, k) => {
      // Residual = data - model; single precision and the curvature leave about 0.1.
      expect(Math.abs(500 * d - (below[k] - above[k]) / (2 * step))).toBeLessThan(0.5);
    });
  });
});
