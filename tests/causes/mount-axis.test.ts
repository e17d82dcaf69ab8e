import { describe, expect, it } from 'vitest';
import { meanAxis, mountAxis } from '../../src/causes/mount-axis.js';

const axes = (...angles: number[]) => angles.map((angleDeg) => ({ angleDeg, weight: 1 }));

describe('meanAxis', () => {
  it('meets at 0 from both sides, and at 90', () => {
    const around = meanAxis(axes(179, 3));
    expect(around.angleDeg).toBeCloseTo(1, 6);
    expect(around.agreement).toBeGreaterThan(0.99);
    expect(meanAxis(axes(89, 92)).angleDeg).toBeCloseTo(90.5, 6);
  });

  it('goes by the weights, agreement does not', () => {
    const mean = meanAxis([
      { angleDeg: 10, weight: 1 },
      { angleDeg: 40, weight: 99 },
    ]);
    expect(mean.angleDeg).toBeGreaterThan(39);
    expect(mean.agreement).toBeCloseTo(Math.cos(Math.PI / 6), 6);
    expect(meanAxis(axes(0, 90)).agreement).toBeLessThan(1e-6);
    expect(meanAxis([]).angleDeg).toBeNaN();
  });
});

describe('mountAxis', () => {
  const turned = (northDeg: number) => ({ northDeg, eastDeg: northDeg + 90, parity: 1 as const });

  it('takes the pixel axes for those of the mount without a WCS', () => {
    const on = (angleDeg: number) => mountAxis([{ angleDeg, weight: 1, orientation: null }]);
    expect(on(177)).toEqual({ axis: 'ra', source: 'pixel-axes', skyAngleDeg: null });
    expect(on(92).axis).toBe('dec');
    expect(on(44).axis).toBe('other');
    expect(mountAxis([]).axis).toBe('unknown');
  });

  it('goes by each frame’s own WCS: a camera turned between frames keeps the axis of the sky', () => {
    const seen = mountAxis([
      { angleDeg: 121, weight: 1, orientation: turned(30) },
      { angleDeg: 164, weight: 1, orientation: turned(75) },
    ]);
    expect(seen.axis).toBe('ra');
    expect(seen.source).toBe('wcs');
    expect(seen.skyAngleDeg).toBeCloseTo(90, 6);
  });

  it('knows a mirrored frame', () => {
    const mirrored = { northDeg: 30, eastDeg: -60, parity: -1 as const };
    expect(mountAxis([{ angleDeg: 30, weight: 1, orientation: mirrored }]).axis).toBe('dec');
    expect(mountAxis([{ angleDeg: 0, weight: 1, orientation: mirrored }]).skyAngleDeg).toBeCloseTo(30, 6);
  });
});
