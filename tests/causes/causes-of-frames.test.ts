import { describe, expect, it } from 'vitest';
import { causesOfFrames } from '../../src/causes/causes-of-frames.js';
import type { CauseFinding } from '../../src/causes/types.js';

const finding = (code: CauseFinding['code'], frames: CauseFinding['frameConfidence']): CauseFinding => ({
  code,
  title: '',
  answer: 'found',
  confidence: 0.9,
  frames: frames.map((f) => f.file),
  frameConfidence: frames,
  evidence: [],
  advice: '',
  why: '',
});

describe('causesOfFrames', () => {
  it('turns findings round: causes of each file, surest first, doubtful ones left out', () => {
    const map = causesOfFrames([
      finding('cloud', [
        { file: 'a', confidence: 0.6 },
        { file: 'b', confidence: 0.2 },
      ]),
      finding('streak', [{ file: 'a', confidence: 0.9 }]),
    ]);
    expect(map.get('a')).toEqual([
      { code: 'streak', confidence: 0.9 },
      { code: 'cloud', confidence: 0.6 },
    ]);
    expect(map.has('b')).toBe(false);
  });
});
