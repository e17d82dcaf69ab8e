import { gzipSync } from 'node:zlib';
import { toErrorRecord } from '../../src/errors.js';
import { chooseImage, openFitsBytes, readFrameHeader, readPlane } from '../../src/fits/index.js';
import { derivePlateScale } from '../../src/optics/index.js';
import { seededRandom } from '../scenes/random.js';
import { createScratch } from './scratch.js';

type Random = () => number;
const below = (random: Random, n: number): number => Math.floor(random() * n);
const pick = <T>(random: Random, list: readonly T[]): T => list[below(random, list.length)]!;

const keywords = [
  'BITPIX', 'NAXIS', 'NAXIS1', 'NAXIS2', 'NAXIS3', 'PCOUNT', 'GCOUNT', 'GROUPS', 'BSCALE', 'BZERO', 'BLANK', 'THEAP', 'TFIELDS',
  'TFORM1', 'TFORM2', 'TTYPE1', 'ZIMAGE', 'ZCMPTYPE', 'ZBITPIX', 'ZNAXIS', 'ZNAXIS1', 'ZNAXIS2', 'ZNAXIS3', 'ZTILE1', 'ZTILE2', 'ZNAME1',
  'ZVAL1', 'ZVAL2', 'ZQUANTIZ', 'ZDITHER0', 'ZSCALE', 'ZZERO', 'ZBLANK', 'EXTEND', 'XTENSION', 'SIMPLE', 'DATE-OBS', 'RA', 'CTYPE1', 'CD1_1',
  'BAYERPAT', 'CONTINUE', 'HIERARCH', 'END',
]; // prettier-ignore
const values = [
  '-1', '0', '1', '2', '3', '7', '8', '16', '32', '64', '-32', '-64', '999', '1000', '65536', '100000', '2147483647', '2147483648', '4294967296',
  '-2147483648', '9223372036854775807', '99999999999999999999', '1E308', '1.5', '1D9', 'NaN', 'INF', 'T', 'F', "''", "'RICE_1'", "'GZIP_1'", "'GZIP_2'",
  "'HCOMPRESS_1'", "'PLIO_1'", "'NOCOMPRESS'", "'1PB(9)'", "'1QB'", "'999999999999J'", "'1PX'", "'BINTABLE'", "'IMAGE'", "'RGGB'", "'unterminated",
  "'SUBTRACTIVE_DITHER_2'", "'NONE'", '(1,2)', '',
]; // prettier-ignore

/** Card positions of all headers in a file, as far as blocks look like text. */
function cardPositions(bytes: Uint8Array): number[] {
  const positions: number[] = [];
  for (let at = 0; at + 80 <= bytes.length; at += 80) {
    const first = bytes[at]!;
    if (first >= 65 && first <= 90 && bytes[at + 79]! === 32) positions.push(at);
  }
  return positions;
}

function splice(bytes: Uint8Array, at: number, remove: number, insert: Uint8Array): Uint8Array {
  const out = new Uint8Array(bytes.length - remove + insert.length);
  out.set(bytes.subarray(0, at));
  out.set(insert, at);
  out.set(bytes.subarray(at + remove), at + insert.length);
  return out;
}

const textBytes = (text: string): Uint8Array => Buffer.from(text.padEnd(80).slice(0, 80), 'latin1');

const mutations: readonly ((bytes: Uint8Array, random: Random) => Uint8Array)[] = [
  // A hostile value in a card that is there.
  (bytes, random) => {
    const cards = cardPositions(bytes);
    if (cards.length === 0) return bytes;
    const at = pick(random, cards);
    const keyword = Buffer.from(bytes.subarray(at, at + 8)).toString('latin1');
    return splice(bytes, at, 80, textBytes(`${keyword}= ${pick(random, values).padStart(20)}`));
  },
  // A hostile card in the place of another.
  (bytes, random) => {
    const cards = cardPositions(bytes);
    if (cards.length === 0) return bytes;
    const card = `${pick(random, keywords).padEnd(8)}= ${pick(random, values).padStart(20)}`;
    return splice(bytes, pick(random, cards), 80, textBytes(card));
  },
  // Bytes changed anywhere.
  (bytes, random) => {
    const out = Uint8Array.from(bytes);
    for (let n = 1 + below(random, 20); n > 0; n--) out[below(random, out.length)] = below(random, 256);
    return out;
  },
  // Bytes changed in the last third: pixels, table rows, heap.
  (bytes, random) => {
    const out = Uint8Array.from(bytes);
    const start = Math.floor((2 * out.length) / 3);
    for (let n = 1 + below(random, 40); n > 0; n--)
      out[start + below(random, out.length - start)] = below(random, 256);
    return out;
  },
  // A stretch of one byte: runs of zeros and ones are what decoders count in.
  (bytes, random) => {
    const out = Uint8Array.from(bytes);
    const at = below(random, out.length);
    return out.fill(pick(random, [0, 255, 128, 1]), at, at + below(random, 400));
  },
  // Cut off.
  (bytes, random) => bytes.slice(0, below(random, bytes.length)),
  // A card or block lost or doubled.
  (bytes, random) => {
    const unit = pick(random, [80, 2880]);
    const at = unit * below(random, Math.max(1, Math.floor(bytes.length / unit)));
    return random() < 0.5
      ? splice(bytes, at, Math.min(unit, bytes.length - at), new Uint8Array(0))
      : splice(bytes, at, 0, bytes.slice(at, at + unit));
  },
  // Rubbish behind.
  (bytes, random) =>
    splice(
      bytes,
      bytes.length,
      0,
      Uint8Array.from({ length: below(random, 6000) }, () => below(random, 256)),
    ),
  // Gzipped, and the gzip damaged.
  (bytes, random) => {
    const packed = Uint8Array.from(gzipSync(bytes));
    if (random() < 0.7) packed[below(random, packed.length)] = below(random, 256);
    return random() < 0.3 ? packed.slice(0, below(random, packed.length)) : packed;
  },
];

/** One to three mutations of a file; the same seed makes the same file. */
export function mutate(bytes: Uint8Array, seed: number): Uint8Array {
  const random = seededRandom(seed).uniform;
  let out = bytes;
  for (let n = 1 + below(random, 3); n > 0 && out.length > 0; n--) out = pick(random, mutations)(out, random);
  return out;
}

/** How reading one file ended. */
export interface Outcome {
  /** `read`, or the code of the error; `internal` for anything that is not ours. */
  readonly ending: string;
  readonly message: string;
  readonly seconds: number;
}

const scratch = createScratch();

/** Read a file from end to end, as the pipeline does. */
export function readAll(name: string, bytes: Uint8Array, salvage: boolean): Outcome {
  const start = performance.now();
  const outcome = (ending: string, message: string): Outcome => ({
    ending,
    message,
    seconds: (performance.now() - start) / 1000,
  });
  try {
    const file = openFitsBytes(name, bytes);
    const hdu = chooseImage(file);
    const header = readFrameHeader(file, hdu);
    derivePlateScale(header);
    const plane = readPlane(file, hdu, { salvage, scratch });
    if (plane.data.length !== plane.width * plane.height) return outcome('internal', 'pixels are missing');
    file.close();
    return outcome('read', '');
  } catch (error) {
    const record = toErrorRecord(error);
    const trace = record.code === 'internal' && error instanceof Error ? (error.stack ?? '') : '';
    const complete = record.remedy !== '' && record.message.includes(name);
    return complete || trace !== ''
      ? outcome(record.code, trace || record.message)
      : outcome('internal', `an error that does not name the file: ${record.message}`);
  }
}
