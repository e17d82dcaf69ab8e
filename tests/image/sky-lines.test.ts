import { describe, expect, it } from 'vitest';
import { interpolateTiles } from '../../src/image/background-at.js';
import { measureBackground } from '../../src/image/background-map.js';
import { makeSkyLines, placeSkyTiles, SKY_RUN } from '../../src/image/sky-lines.js';
import { residentPixels } from '../../src/kernels/index.js';
import { makeScene } from '../scenes/scene.js';
import { seeingImage } from '../scenes/star-field.js';

describe('sky along a row of blocks', () => {
  const stored = makeScene({
    width: 600,
    height: 400,
    seed: 1,
    stars: [],
    image: seeingImage(3),
    sky: (x) => 500 + x,
  });
  const plane = { ...stored, scale: 2, zero: -50 };
  const background = measureBackground(plane);
  const { kernels, workArea } = residentPixels(plane.data);
  const area = workArea();
  const lines = makeSkyLines(kernels, area, placeSkyTiles(area, plane, background), 2, 300);
  const whole = lines.limits(3, 0);
  const real = lines.limits(3, 1);

  it('is the map, read at the middle of each run, in stored units', () => {
    for (const row of [0, 100, 199]) {
      lines.readAt(row);
      for (const run of [0, 18, Math.ceil(300 / SKY_RUN) - 1]) {
        const x = (run + 0.5) * SKY_RUN * 2 - 0.5;
        const at = (tiles: Float64Array): number => interpolateTiles(background, tiles, x, 2 * row + 0.5);
        // Floats of some hundreds.
        expect(Math.abs(lines.level.view[run] - (at(background.level) + 50) / 2)).toBeLessThan(1e-3);
        expect(Math.abs(lines.noise.view[run] - at(background.noise) / 2)).toBeLessThan(1e-3);
      }
    }
  });

  it('has limits that whole values exceed when they exceed level + factor x noise', () => {
    lines.readAt(50);
    const integers = new Uint16Array(kernels.memory.buffer, whole, 38);
    const floats = new Float32Array(kernels.memory.buffer, real, 38);
    integers.forEach((limit, run) => {
      expect(floats[run]).toBeCloseTo(lines.level.view[run] + 3 * lines.noise.view[run], 2);
      expect(limit).toBe(Math.floor(floats[run]));
    });
  });
});
