import { deflateSync, gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { inflateTile, unshuffleBytes } from '../../../src/fits/tiles/gzip-tile.js';
import { TileError } from '../../../src/fits/tiles/tile-error.js';

describe('inflateTile', () => {
  it('takes gzip and zlib wrapping, and pixels wider than expected', () => {
    const bytes = Uint8Array.from({ length: 80 }, (_, i) => i);
    expect([...inflateTile(gzipSync(bytes), 40, 2)]).toEqual([...bytes]);
    expect([...inflateTile(deflateSync(bytes), 10, 2)]).toEqual([...bytes]);
  });

  it('throws for damage and for more bytes than pixels can have', () => {
    expect(() => inflateTile(Uint8Array.of(1, 2, 3), 10, 2)).toThrow(TileError);
    expect(() => inflateTile(gzipSync(new Uint8Array(1000)), 10, 2)).toThrow(/more than its pixels/);
  });
});

describe('unshuffleBytes', () => {
  it('puts the bytes of each pixel together again', () => {
    expect([...unshuffleBytes(Uint8Array.of(1, 3, 5, 2, 4, 6), 2)]).toEqual([1, 2, 3, 4, 5, 6]);
  });
});
