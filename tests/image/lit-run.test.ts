import { describe, expect, it } from 'vitest';
import { longestLitRun } from '../../src/image/lit-run.js';

const steps = (pattern: string): Float64Array => Float64Array.from(pattern, (c) => (c === '#' ? 3 : 0));

describe('longest lit run', () => {
  it('bridges small gaps and reports how full the run is', () => {
    expect(longestLitRun(steps('..#######.#######..'), 1)).toEqual({ first: 2, last: 16, filled: 14 / 15 });
  });
  it('does not join stars with sky between them', () => {
    const run = longestLitRun(steps('###......###......###'), 1);
    expect(run).toMatchObject({ first: 0, last: 2 });
  });
  it('is null in the dark', () => {
    expect(longestLitRun(steps('......'), 1)).toBeNull();
  });
});
