import { scaleLinear } from 'd3-scale';
import { describe, expect, it } from 'vitest';
import { bottomAxis, heightScale, leftAxis } from '../../../src/report/plot/axis.js';
import { bottomReader, leftReader } from '../read-svg.js';

const area = { left: 50, top: 10, width: 400, height: 100 };

describe('heightScale', () => {
  it('holds all values and what must be included, high values up', () => {
    const scale = heightScale([2, 4], area, [5]);
    for (const value of [2, 4, 5]) {
      expect(scale(value)).toBeGreaterThan(area.top);
      expect(scale(value)).toBeLessThan(area.top + area.height);
    }
    expect(scale(5)).toBeLessThan(scale(2));
  });

  it('makes room about a single value, and works without any', () => {
    expect(heightScale([3], area)(3)).toBeCloseTo(60, 6);
    expect(heightScale([], area)(0.5)).toBeCloseTo(60, 6);
    expect(heightScale([0, 0], area)(0)).toBeCloseTo(60, 6);
  });
});

describe('axes', () => {
  it('label the left so that a place reads back as its figure', () => {
    const scale = heightScale([1000, 14_000], area);
    expect(leftReader(leftAxis(scale, area, 4).text)(scale(12_345))).toBeCloseTo(12_345, -2);
  });

  it('label the bottom so that a place reads back as its figure', () => {
    const scale = scaleLinear([0, 40], [50, 450]);
    expect(bottomReader(bottomAxis(scale, area, 5).text)(scale(13))).toBeCloseTo(13, 2);
  });
});
