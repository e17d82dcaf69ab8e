import { describe, expect, it } from 'vitest';
import { TileError } from '../../../src/fits/tiles/tile-error.js';

describe('TileError', () => {
  it('is told apart from other errors', () => {
    expect(new TileError('is broken')).toBeInstanceOf(Error);
    expect(new RangeError('x')).not.toBeInstanceOf(TileError);
  });
});
