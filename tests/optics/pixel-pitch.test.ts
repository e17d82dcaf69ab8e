import { describe, expect, it } from 'vitest';
import type { FrameHeader } from '../../src/fits/types.js';
import { storedPixelPitch } from '../../src/optics/pixel-pitch.js';
import { headerWith } from './frame-header-sketch.js';

const binned = (pitch: number, bin: number, more: Partial<FrameHeader> = {}): FrameHeader =>
  headerWith({ pixelSizeMicron: [pitch, pitch], binning: [bin, bin], ...more });

describe('storedPixelPitch', () => {
  it('is the size as written without binning', () => {
    expect(storedPixelPitch(binned(3.76, 1), null, null)).toEqual({ micron: 3.76, doubt: null });
    expect(storedPixelPitch(headerWith({}), null, null)).toBeNull();
  });

  it('follows the comment of the card', () => {
    expect(storedPixelPitch(binned(5, 2, { pixelSizeOf: 'stored-pixel' }), null, null)!.micron).toBe(5);
    expect(storedPixelPitch(binned(5, 2, { pixelSizeOf: 'sensor-pixel' }), null, null)!.micron).toBe(10);
  });

  it('follows a trusted scale that fits one of the two', () => {
    const arcsecPerMicron = 206.264806 / 500;
    expect(storedPixelPitch(binned(5, 2), 10 * arcsecPerMicron, arcsecPerMicron)!.micron).toBe(10);
    expect(storedPixelPitch(binned(5, 2), 5 * arcsecPerMicron, arcsecPerMicron)!.micron).toBe(5);
  });

  it('knows the pitches of sensors', () => {
    // Two real headers of the reference data: 27 um at 3 x 3 and 6.9 um at 2 x 2 are binned sizes; 3.76 um is a sensor's own.
    expect(storedPixelPitch(binned(27, 3), null, null)).toEqual({ micron: 27, doubt: null });
    expect(storedPixelPitch(binned(6.9, 2), null, null)).toEqual({ micron: 6.9, doubt: null });
    expect(storedPixelPitch(binned(3.76, 2), null, null)).toEqual({ micron: 7.52, doubt: null });
  });

  it('assumes the size as written where nothing tells, and says so', () => {
    const pitch = storedPixelPitch(binned(17.7, 2), null, null)!;
    expect(pitch.micron).toBe(17.7);
    expect(pitch.doubt).toMatch(/binned 2 x 2.*2 times as large/);
  });
});
