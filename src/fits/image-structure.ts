import { createRequire } from 'node:module';
import type fitsjs from 'fitsjs';
import type { HduStructure } from './structure.js';

/** Structure of an ordinary image as fitsjs reads it, with what it remarks on the order of the mandatory cards. */
interface FitsjsStructure {
  readonly bitpix: number;
  readonly axes: readonly number[];
  readonly dataBytes: number;
  readonly misplaced: readonly string[];
}

let loaded: typeof fitsjs.astro.FITS | null = null;
let misplaced: string[] = [];

/**
 * Load fitsjs without its marks on the process: it puts an own `slice` on File.prototype while loading, and its header checks
 * speak through the console. The first is taken back, the second is replaced by a list.
 */
function loadFitsjs(): typeof fitsjs.astro.FITS {
  if (loaded) return loaded;
  const own = Object.getOwnPropertyDescriptor(File.prototype, 'slice');
  const library = createRequire(import.meta.url)('fitsjs') as typeof fitsjs;
  if (!own) Reflect.deleteProperty(File.prototype, 'slice');
  const prototype = library.astro.FITS.Header.prototype;
  prototype.verifyOrder = function verifyOrder(this: fitsjs.FitsjsHeader, keyword: string, order: number) {
    // PCOUNT and GCOUNT stand anywhere in headers that tables and tools rewrote; they shift nothing.
    const counts = keyword === 'PCOUNT' || keyword === 'GCOUNT';
    if (order !== this.cardIndex && !counts) misplaced.push(keyword);
  };
  prototype.VerifyFns.BLANK = (value) => Number(value);
  loaded = library.astro.FITS;
  return loaded;
}

/** Most planes of a cube that fitsjs is asked about. */
const MAX_PLANES = 4096;

/** fitsjs throws strings and reads at most 600 cards; whatever goes wrong in it is told as text. */
function structureByFitsjs(headerText: string): FitsjsStructure | { readonly failure: string } {
  misplaced = [];
  try {
    const library = loadFitsjs();
    const header = new library.Header(headerText);
    // It loops over NAXIS3 planes whether NAXIS counts that axis or not, and takes the last card of a repeated keyword.
    const planes = Number(header.get('NAXIS3') ?? 1);
    if (planes < 0 || planes > MAX_PLANES) return { failure: `NAXIS3 is ${planes}` };
    const image = new library.Image(header, null);
    return { bitpix: image.bitpix, axes: image.naxis, dataBytes: image.length, misplaced };
  } catch (thrown) {
    return { failure: thrown instanceof Error ? thrown.message : String(thrown) };
  }
}

/**
 * Settle the structure of an ordinary image HDU with fitsjs beside our own reading; what the two don't agree on comes back as
 * warnings, and our own reading (FITS Standard 4.0) stands. BITPIX 64, random groups and huge cubes are beyond fitsjs: no second opinion.
 */
export function settleImageStructure(headerText: string, own: HduStructure): string[] {
  if (own.bitpix === 64 || own.randomGroups || own.axes.length === 0) return [];
  if ((own.axes[2] ?? 1) > MAX_PLANES || own.axes.some((length) => length === 0)) return [];
  const second = structureByFitsjs(headerText);
  if ('failure' in second) return [`the header breaks a rule of the standard: ${second.failure}`];
  const warnings = second.misplaced.map((keyword) => `${keyword} does not stand where the standard puts it`);
  if (second.bitpix !== own.bitpix || second.axes.join() !== own.axes.join()) {
    warnings.push(
      `the image reads as BITPIX ${own.bitpix}, ${own.axes.join(' x ')}; a second reader makes it BITPIX ${second.bitpix}, ${second.axes.join(' x ')}`,
    );
  }
  return warnings;
}
