import { describe, expect, it } from 'vitest';
import { assessSweep, defaultSweepOptions } from '../../../src/night/sweep/index.js';
import { assessed, sweepFrames } from './sweep-fixture.js';

const optics = { tilt: { spanMicron: 40, directionDeg: 210 }, curvatureMicron: 60, astigmatismMicron: -20 };

describe('a sweep from traced rays', () => {
  const sweep = assessed({ optics });

  it('gives tilt within 5 % or 2 um and its direction', () => {
    expect(Math.abs(sweep.tilt.spanMicron - 40)).toBeLessThan(2);
    expect(Math.abs(sweep.tilt.directionDeg - 210)).toBeLessThan(4);
    expect(sweep.tilt.significant).toBe(true);
  });

  it('gives curvature within 5 % or 3 um, and astigmatism', () => {
    expect(Math.abs(sweep.curvature.cornerMicron - 60)).toBeLessThan(3);
    expect(Math.abs(sweep.astigmatism.cornerMicron + 20)).toBeLessThan(3);
  });

  it('gives best focus in steps, and the focus zone', () => {
    expect(Math.abs(sweep.bestFocus.centreStep - 12400)).toBeLessThan(5);
    expect(sweep.bestFocus.bracketed).toBe('yes');
    expect(sweep.focusZone?.totalMicron).toBeCloseTo(67.1, 1);
  });

  it('turns every height round with the direction of the focuser, and keeps the sizes', () => {
    const turned = assessed({ optics }, { inward: 'positive' });
    expect(turned.curvature.cornerMicron).toBeCloseTo(-sweep.curvature.cornerMicron, 1);
    expect(turned.tilt.spanMicron).toBeCloseTo(sweep.tilt.spanMicron, 1);
    expect(Math.abs(Math.abs(turned.tilt.directionDeg - sweep.tilt.directionDeg) - 180)).toBeLessThan(0.5);
    expect(turned.bestFocus.centreStep).toBeCloseTo(sweep.bestFocus.centreStep, 1);
  });

  it('is plain data', () => {
    expect(JSON.parse(JSON.stringify(sweep)).tiles).toHaveLength(sweep.tiles.length);
  });
});

describe('a sweep with gaps in what is known', () => {
  it('measures the travel per step from the growth of the stars when only the focal ratio is known', () => {
    const frames = sweepFrames({ optics }).map((frame) => ({
      ...frame,
      header: { ...frame.header, focuserMicronPerStep: null },
    }));
    const sweep = assessSweep(frames, defaultSweepOptions);
    expect(sweep.scale.micronPerStepSource).toBe('defocus');
    expect(Math.abs(sweep.scale.micronPerStep / 1.5 - 1)).toBeLessThan(0.1);
    expect(Math.abs(sweep.tilt.spanMicron / 40 - 1)).toBeLessThan(0.15);
    expect(sweep.warnings.join(' ')).toContain('not known');
  });

  it('works without a focal ratio when the travel is known', () => {
    const frames = sweepFrames({ optics }).map((frame) => ({
      ...frame,
      scale: { ...frame.scale!, focalRatio: null },
    }));
    const sweep = assessSweep(frames, defaultSweepOptions);
    expect(Math.abs(sweep.tilt.spanMicron - 40)).toBeLessThan(3);
    expect(Math.abs(sweep.scale.impliedFocalRatio! / 5 - 1)).toBeLessThan(0.12);
  });

  it('asks for one of them when both are missing', () => {
    const frames = sweepFrames({}).map((frame) => ({
      ...frame,
      header: { ...frame.header, focuserMicronPerStep: null },
      scale: { ...frame.scale!, focalRatio: null },
    }));
    expect(() => assessSweep(frames, defaultSweepOptions)).toThrow('travel per focuser step');
  });

  it('doubts a step size that does not go with the stars', () => {
    const sweep = assessed({ optics }, { micronPerStep: 3 });
    expect(sweep.warnings.join(' ')).toContain('stars grow with defocus as at f/');
  });

  it('leaves out a frame that does not go with the others, and says so', () => {
    const frames = sweepFrames({ optics, frames: 9 });
    const spoilt = frames.map((frame, i) =>
      i !== 2
        ? frame
        : {
            ...frame,
            field: {
              ...frame.field,
              cells: frame.field.cells.map((cell, k) => ({
                ...cell,
                mxx: cell.mxx * (0.4 + 0.3 * k),
                myy: cell.myy * (1.8 - 0.1 * k),
              })),
            },
          },
    );
    const sweep = assessSweep(spoilt, defaultSweepOptions);
    expect(sweep.frames.filter((frame) => frame.outlier !== null).map((frame) => frame.file)).toEqual([
      frames[2]!.file,
    ]);
    expect(Math.abs(sweep.curvature.cornerMicron - 60)).toBeLessThan(4);
  });
});
