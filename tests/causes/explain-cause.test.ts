import { describe, expect, it } from 'vitest';
import { explainCause } from '../../src/causes/explain-cause.js';
import { UsageError } from '../../src/errors.js';

describe('explainCause', () => {
  it('gives the texts of a cause', () => {
    expect(explainCause('dew').title).toContain('Dew');
  });

  it('takes capitals, and proposes what sounds alike', () => {
    expect(explainCause('FOCUS-Drift').code).toBe('focus-drift');
    expect(() => explainCause('guiding')).toThrow(
      expect.objectContaining({ remedy: expect.stringContaining('Did you mean guiding-trail?') }),
    );
  });

  it('names the causes there are when asked for another', () => {
    expect(() => explainCause('gremlins')).toThrow(UsageError);
    try {
      explainCause('gremlins');
    } catch (error) {
      expect((error as UsageError).remedy).toContain('focus-drift');
    }
  });
});
