import { gzipSync } from 'node:zlib';
import { describe, expect, it } from 'vitest';
import { gunzip, isGzip } from '../../src/fits/gunzip.js';
import { bytesSource } from '../../src/fits/source.js';

const plain = Buffer.from(Array.from({ length: 200_000 }, (_, i) => (i * i) % 251));
const inflate = (packed: Uint8Array, limit?: number): Uint8Array => {
  const source = gunzip(bytesSource('a.fits.gz', packed), limit);
  const all = new Uint8Array(source.size);
  source.read(all, 0);
  return all;
};

describe('gunzip', () => {
  it('knows gzip by its first bytes', () => {
    expect(isGzip(gzipSync(plain))).toBe(true);
    expect(isGzip(plain)).toBe(false);
  });

  it('inflates, also several members in a row', () => {
    expect(Buffer.compare(inflate(gzipSync(plain)), plain)).toBe(0);
    const two = Buffer.concat([gzipSync(plain.subarray(0, 1000)), gzipSync(plain.subarray(1000))]);
    expect(Buffer.compare(inflate(two), plain)).toBe(0);
  });

  it('gives what there is of a file cut short', () => {
    const packed = gzipSync(plain);
    const part = inflate(packed.subarray(0, packed.length >> 1));
    expect(part.length).toBeGreaterThan(1000);
    expect(Buffer.compare(part, plain.subarray(0, part.length))).toBe(0);
  });

  it('keeps to the limit asked for', () => {
    expect(() => inflate(gzipSync(plain), 100_000)).toThrow(/inflates to more than 0 MiB/);
    expect(inflate(gzipSync(plain), 200_000)).toHaveLength(200_000);
  });

  it('does not believe a size at the end that is a lie', () => {
    const packed = Buffer.from(gzipSync(plain));
    packed.writeUInt32LE(0xffffffff, packed.length - 4);
    expect(() => inflate(packed)).toThrow(/damaged/);
  });
});
