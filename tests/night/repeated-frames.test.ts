import { describe, expect, it } from 'vitest';
import { repeatedFrames } from '../../src/night/repeated-frames.js';
import { madeFrame } from './made-frames.js';

const at = (file: string, dateObs: string | null, fwhmPx: number | null = 2.4) =>
  madeFrame(file, { header: { dateObs }, fwhmPx });

describe('frames that are the same exposure twice', () => {
  it('are named with the frame they copy', () => {
    const [sentence] = repeatedFrames([
      at('a.fits', '2026-01-02T20:00:00Z'),
      at('b.fits', '2026-01-02T20:00:00Z'),
      at('c.fits', '2026-01-02T20:00:00Z'),
    ]);
    expect(sentence).toContain('2 frames are the same exposure as another (b.fits is a copy of a.fits)');
  });

  it('are not seen where start or figures differ', () => {
    expect(
      repeatedFrames([
        at('a.fits', '2026-01-02T20:00:00Z'),
        at('b.fits', '2026-01-02T20:02:00Z'),
        at('c.fits', '2026-01-02T20:00:00Z', 2.41),
      ]),
    ).toEqual([]);
  });

  it('are not looked for without a start time or a figure', () => {
    expect(repeatedFrames([at('a.fits', null), at('b.fits', null)])).toEqual([]);
    const unmeasured = [
      at('a.fits', '2026-01-02T20:00:00Z', null),
      at('b.fits', '2026-01-02T20:00:00Z', null),
    ];
    expect(repeatedFrames(unmeasured)).toEqual([]);
  });
});
