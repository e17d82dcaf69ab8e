import { describe, expect, it } from 'vitest';
import { frameNotes } from '../../src/night/frame-notes.js';

const frame = (file: string, ...warnings: string[]) => ({ file, warnings });

describe('notes of the frames', () => {
  it('tells each kind once, numbers aside', () => {
    const notes = frameNotes([
      frame('a.fits', 'scale 1.02 against 1.50 arcsec'),
      frame('b.fits', 'scale 1.03 against 1.50 arcsec', 'only the first 90 of 100 rows'),
      frame('c.fits', 'scale 1.04 against 1.50 arcsec'),
    ]);
    expect(notes).toEqual([
      'all 3 frames (here a.fits): scale 1.02 against 1.50 arcsec',
      'b.fits: only the first 90 of 100 rows',
    ]);
  });

  it('counts those of some frames', () => {
    expect(frameNotes([frame('a', 'x'), frame('b', 'x'), frame('c')])).toEqual(['2 of 3 frames (here a): x']);
    expect(frameNotes([frame('a', 'x 1', 'x 2')])).toEqual(['a: x 2']);
    expect(frameNotes([])).toEqual([]);
  });

  it('does not bury a reader', () => {
    const many = Array.from({ length: 30 }, (_, k) => frame(`${k}`, 'abc'.repeat(k + 1)));
    const notes = frameNotes(many);
    expect(notes).toHaveLength(9);
    expect(notes[8]).toContain('22 more');
  });
});
