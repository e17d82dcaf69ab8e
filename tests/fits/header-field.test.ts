import { describe, expect, it } from 'vitest';
import { FieldCollector } from '../../src/fits/header-field.js';
import { headerOf } from './header-sketch.js';

const positive = (card: { value: unknown }): { value: number } | { problem: string } =>
  typeof card.value === 'number' && card.value > 0 ? { value: card.value } : { problem: 'not positive' };

describe('FieldCollector', () => {
  it('takes the first card that reads well, and keeps its keyword', () => {
    const fields = new FieldCollector(headerOf('A       = -1', 'B       = 2', 'C       = 3'));
    expect(fields.pick('x', ['A', 'B', 'C'], positive)).toBe(2);
    expect(fields.sources).toEqual({ x: 'B' });
    expect(fields.missing).toEqual({});
  });

  it('gives the first problem as the reason, or that there is no card', () => {
    const fields = new FieldCollector(headerOf('A       = -1', "B       = ''"));
    expect(fields.pick('x', ['A', 'B'], positive)).toBeNull();
    expect(fields.pick('y', ['B'], positive)).toBeNull();
    expect(fields.pick('z', ['D', 'E'], positive)).toBeNull();
    expect(fields.missing).toEqual({
      x: 'A = -1: not positive',
      y: 'B is empty',
      z: 'none of D, E in the header',
    });
  });

  it('takes values found by other means', () => {
    const fields = new FieldCollector(headerOf());
    fields.absent('x', 'why');
    fields.found('x', 'K');
    expect([fields.sources, fields.missing]).toEqual([{ x: 'K' }, {}]);
  });
});
