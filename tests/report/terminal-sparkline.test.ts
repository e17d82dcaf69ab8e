import { describe, expect, it } from 'vitest';
import { sparkline } from '../../src/report/terminal-sparkline.js';

describe('sparkline', () => {
  it('runs from the lowest to the highest bar', () => {
    expect(sparkline([1, 2, 3, 4, 5, 6, 7, 8], 20)).toBe('▁▂▃▄▅▆▇█');
  });

  it('marks what is missing, and draws equal values low', () => {
    expect(sparkline([5, null, 5, Number.NaN], 20)).toBe('▁·▁·');
    expect(sparkline([null], 20)).toBe('·');
    expect(sparkline([], 20)).toBe('');
  });

  it('joins runs by their median to fit the width', () => {
    const values = Array.from({ length: 400 }, (_, i) => (i === 200 ? 1e6 : i));
    const line = sparkline(values, 40);
    expect([...line]).toHaveLength(40);
    expect(line.startsWith('▁')).toBe(true);
    expect(line.endsWith('█')).toBe(true);
  });
});
