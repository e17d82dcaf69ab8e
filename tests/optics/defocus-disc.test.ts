import { describe, expect, it } from 'vitest';
import { defocusDiscMicron } from '../../src/optics/defocus-disc.js';

describe('defocus disc', () => {
  it('does not depend on the side of focus', () => {
    expect(defocusDiscMicron(-100, 5)).toBe(20);
    expect(defocusDiscMicron(100, 5)).toBe(20);
  });
});
