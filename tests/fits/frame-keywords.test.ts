import { describe, expect, it } from 'vitest';
import { frameKeywords } from '../../src/fits/frame-keywords.js';

describe('frameKeywords', () => {
  it('are written as headers are looked up: capitals, none twice in a meaning', () => {
    for (const keywords of Object.values<readonly string[]>(frameKeywords)) {
      expect(new Set(keywords).size).toBe(keywords.length);
      for (const keyword of keywords) expect(keyword).toMatch(/^[A-Z0-9_ -]+$/);
    }
  });

  it('give no keyword two meanings, but GAIN', () => {
    const all = Object.values<readonly string[]>(frameKeywords).flat();
    const twice = all.filter((keyword, i) => all.indexOf(keyword) !== i);
    expect(twice).toEqual(['GAIN']);
  });
});
