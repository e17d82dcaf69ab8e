import { describe, expect, it } from 'vitest';
import {
  NOTHING_SHARED,
  searchSharedOptics,
  sharpWidthPx,
  startFrames,
  steepestAxis,
  troughAxis,
} from '../../src/night/joint-fit-start.js';
import { exactFrames, SENSOR_MEANS } from './exact-frames.js';

const truth = { ...NOTHING_SHARED, tx: 1.2, ty: 0.7 };
const owns = [-1.5, -0.5, 0.5, 1.5].map((focus) => ({ seeing: 1.25, focus, plus: 0, cross: 0 }));
const problem = {
  frames: exactFrames(truth, owns),
  means: SENSOR_MEANS,
  free: ['tx', 'ty', 'km', 'ka'] as const,
  seeingLog: Math.log(1.25),
  seeingSpread: 0.5,
  discPx: 10,
  baseRatio: 1.14,
};

describe('searchSharedOptics', () => {
  it('finds a tilt without being told where to look, up to the global sign', () => {
    const { shared } = searchSharedOptics(problem);
    expect(Math.abs(Math.hypot(shared.tx, shared.ty) - Math.hypot(1.2, 0.7))).toBeLessThan(0.1);
    expect(Math.abs(shared.tx * 0.7 - shared.ty * 1.2)).toBeLessThan(0.1);
    expect(Math.abs(shared.km)).toBeLessThan(0.15);
  });
});

describe('troughAxis', () => {
  const inFocus = owns.map((own) => ({ ...own, focus: 0 }));
  const trough = { ...problem, frames: exactFrames(truth, inFocus) };

  it('gives the axis of a slope that is in focus in the middle', () => {
    const [u, v] = troughAxis(trough.frames);
    expect(Math.abs(u * 0.7 - v * 1.2)).toBeLessThan(0.05);
  });

  it('leads the search to that tilt, which softens two opposite sides alike', () => {
    const { shared } = searchSharedOptics(trough);
    expect(Math.hypot(shared.tx, shared.ty)).toBeCloseTo(Math.hypot(1.2, 0.7), 1);
    expect(Math.abs(shared.km)).toBeLessThan(0.15);
  });
});

describe('startFrames', () => {
  it('starts every frame on its side of focus', () => {
    const starts = startFrames(problem, truth);
    starts.forEach((own, k) => expect(Math.sign(own.focus)).toBe(Math.sign(owns[k].focus)));
  });
});

describe('steepestAxis and sharpWidthPx', () => {
  it('give the axis of the slopes and the width of a sharp star', () => {
    const [u, v] = steepestAxis(problem.frames);
    expect(Math.abs(u * 0.7 - v * 1.2)).toBeLessThan(0.05);
    // A moment of at least 1.25 px^2 is a FWHM of at least 2.5 px.
    expect(sharpWidthPx(problem.frames)).toBeGreaterThan(2.4);
  });
});
