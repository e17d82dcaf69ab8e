import { describe, expect, it } from 'vitest';
import { causes } from '../../src/causes/registry.js';

describe('the registry of causes', () => {
  it('holds the fourteen of the vocabulary, each once, each with its texts', () => {
    const codes = causes.map((cause) => cause.meta.code);
    expect(codes).toEqual([
      'focus-drift',
      'focus-offset',
      'sensor-tilt',
      'spacing-short',
      'spacing-long',
      'guiding-trail',
      'wind-shake',
      'field-rotation',
      'decentred-optics',
      'cloud',
      'bright-sky',
      'dew',
      'streak',
      'seeing',
    ]);
    for (const { meta } of causes) {
      for (const text of [meta.title, meta.whyItMatters, meta.looksLike, meta.whatToDo])
        expect(text.length).toBeGreaterThan(10);
      expect(meta.references.length).toBeGreaterThan(0);
    }
  });
});
