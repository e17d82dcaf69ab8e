import { describe, expect, it } from 'vitest';
import { trailOnSky } from '../../src/field/trail-on-sky.js';

// North up (+y), east left (-x): the sky as seen, y drawn upwards.
const asSeen = { northDeg: 90, eastDeg: 180, parity: 1 } as const;
const mirrored = { northDeg: 90, eastDeg: 0, parity: -1 } as const;

describe('trailOnSky', () => {
  it('names a trail along x right ascension when north is up', () => {
    expect(trailOnSky({ angleDeg: 3, coherence: 0.9 }, 1.5, asSeen)).toEqual({ skyAngleDeg: 93, axis: 'ra' });
  });

  it('names a trail along y declination', () => {
    expect(trailOnSky({ angleDeg: 90, coherence: 0.9 }, 1.5, asSeen)).toEqual({
      skyAngleDeg: 0,
      axis: 'dec',
    });
  });

  it('turns the position angle the other way in a mirrored frame', () => {
    expect(trailOnSky({ angleDeg: 60, coherence: 0.9 }, 1.5, asSeen).skyAngleDeg).toBeCloseTo(150);
    expect(trailOnSky({ angleDeg: 60, coherence: 0.9 }, 1.5, mirrored).skyAngleDeg).toBeCloseTo(30);
  });

  it('names no axis for a trail between the axes, for round stars, or when stars disagree', () => {
    expect(trailOnSky({ angleDeg: 45, coherence: 0.9 }, 1.5, asSeen).axis).toBeNull();
    expect(trailOnSky({ angleDeg: 0, coherence: 0.9 }, 1.04, asSeen).axis).toBeNull();
    expect(trailOnSky({ angleDeg: 0, coherence: 0.2 }, 1.5, asSeen).axis).toBeNull();
  });

  it('goes by the pixel axes without a WCS, within a narrower gate', () => {
    expect(trailOnSky({ angleDeg: 175, coherence: 0.9 }, 1.5, null)).toEqual({
      skyAngleDeg: null,
      axis: 'ra',
    });
    expect(trailOnSky({ angleDeg: 94, coherence: 0.9 }, 1.5, null)).toEqual({
      skyAngleDeg: null,
      axis: 'dec',
    });
    expect(trailOnSky({ angleDeg: 15, coherence: 0.9 }, 1.5, null).axis).toBeNull();
  });

  it('says nothing of a frame without a common axis', () => {
    expect(trailOnSky({ angleDeg: null, coherence: null }, null, asSeen)).toEqual({
      skyAngleDeg: null,
      axis: null,
    });
  });
});
