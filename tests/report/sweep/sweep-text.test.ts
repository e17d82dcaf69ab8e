import { describe, expect, it } from 'vitest';
import stringWidth from 'string-width';
import { sweepText } from '../../../src/report/sweep/sweep-text.js';
import { madeSweep } from './made-sweep.js';

describe('a sweep as text', () => {
  const text = sweepText(madeSweep());

  it('gives every figure with its error, the reasoning and the advice', () => {
    for (const part of [
      '16.0 ± 1.0 µm',
      '−25.0 ± 1.5 µm',
      '+5.0 ± 1.5 µm',
      'step 12400.0 ± 0.6',
      'because',
      'Focus at step',
    ]) {
      expect(text).toContain(part);
    }
  });

  it('names outliers, frames left out and warnings', () => {
    expect(text).toContain('frame-2.fits: does not go with the others');
    expect(text).toContain('lost.fits: left out, no focuser position');
    expect(text).toContain('a warning');
  });

  it('says which direction was assumed and whether focus is bracketed', () => {
    expect(text).toContain('outwards (assumed)');
    const open = madeSweep();
    expect(sweepText({ ...open, bestFocus: { ...open.bestFocus, bracketed: 'no' } })).toContain(
      'NOT bracketed',
    );
  });

  it('lets no file name write to the terminal', () => {
    expect(sweepText(madeSweep({ leftOut: [{ file: 'a\u001b[31m\nb.fits', why: 'x' }] }))).not.toContain(
      '\u001b',
    );
  });
});

it('sweepText keeps to the width of the terminal', () => {
  const lines = sweepText(madeSweep(), 80).split('\n');
  expect(Math.max(...lines.map((line) => stringWidth(line)))).toBeLessThanOrEqual(80);
});
