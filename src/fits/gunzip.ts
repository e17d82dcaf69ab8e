import { constants, gunzipSync } from 'node:zlib';
import { FitsFormatError } from '../errors.js';
import { bytesSource } from './source.js';
import type { ByteSource } from './source.js';

/** Inflated size allowed by default, bytes: a 150 Mpx camera in 32-bit floats takes 600 MB. */
export const DEFAULT_MAX_INFLATED_BYTES = 1024 ** 3;
/** Below this no ratio is suspicious. */
const FREE_BYTES = 64 * 1024 ** 2;
/** Sky frames shrink 2 to 5 times, empty ones up to 1000 times; a large file that shrank more than this is a bomb. */
const MAX_RATIO = 200;
const PROBE_BYTES = 65536;

/** True when the bytes open with gzip's mark (RFC 1952). */
export function isGzip(start: Uint8Array): boolean {
  return start[0] === 0x1f && start[1] === 0x8b;
}

function readAll(source: ByteSource, bytes: number): Buffer {
  const all = Buffer.allocUnsafe(bytes);
  return all.subarray(0, source.read(all, 0));
}

/**
 * Inflate a gzip source into memory, never past the limit: `maxInflatedBytes`, and 200 times the compressed size beyond 64 MiB.
 * A file cut short gives what could be inflated (the scan then finds the data truncated). Throws FitsFormatError when
 * the limit is passed (`too-large`) or nothing can be inflated.
 */
export function gunzip(source: ByteSource, maxInflatedBytes = DEFAULT_MAX_INFLATED_BYTES): ByteSource {
  const limit = Math.min(maxInflatedBytes, Math.max(FREE_BYTES, source.size * MAX_RATIO));
  const packed = readAll(source, source.size);
  // The last four bytes hold the inflated size modulo 2^32 (RFC 1952): one buffer of that size instead of thousands of small ones.
  const hint = packed.length >= 18 ? packed.readUInt32LE(packed.length - 4) : 0;
  const plausible = hint > 0 && hint <= limit && hint <= packed.length * 1032 + 64;
  const options = {
    maxOutputLength: limit,
    chunkSize: plausible ? Math.max(PROBE_BYTES, hint + 64) : 1024 ** 2,
    finishFlush: constants.Z_SYNC_FLUSH,
  };
  let inflated: Buffer;
  try {
    inflated = gunzipSync(packed, options);
  } catch (error) {
    const code = (error as NodeJS.ErrnoException).code;
    if (code === 'ERR_BUFFER_TOO_LARGE') {
      throw new FitsFormatError(
        `${source.name}: inflates to more than ${Math.floor(limit / 1024 ** 2)} MiB`,
        'If the file is sound and really that large, inflate it with gunzip first.',
        source.name,
        'too-large',
      );
    }
    throw new FitsFormatError(
      `${source.name}: its gzip data is damaged (${error instanceof Error ? error.message : String(error)})`,
      'Copy the file again, or use the copy that was not compressed.',
      source.name,
    );
  }
  return bytesSource(source.name, inflated);
}
