import { FitsFormatError } from '../errors.js';
import type { FitsFile, FitsHdu } from './fits-file.js';
import { readScaling } from './scaling.js';
import type { Scaling } from './scaling.js';
import { readStoredPixels } from './stored-image.js';
import type { StoredArray } from './stored-image.js';

/** A whole image of any number of axes, exactly as stored, with what makes physical values of it. */
export interface ExactImage {
  readonly axes: readonly number[];
  readonly stored: StoredArray;
  readonly scaling: Scaling;
}

/**
 * Read all pixels of an image HDU without any loss: integers as stored, floats with their quantisation undone. For checks and for
 * programs that need more than `readPlane`. Throws FitsFormatError when anything is missing or the HDU is no image.
 */
export function readImage(file: FitsFile, hdu: FitsHdu): ExactImage {
  if (hdu.kind !== 'image' && hdu.kind !== 'compressed-image') {
    throw new FitsFormatError(`${file.name}: HDU ${hdu.index} is no image`, 'Choose another HDU.', file.name);
  }
  const count = hdu.axes.reduce((product, length) => product * length, 1);
  const { stored, problem } = readStoredPixels(file, hdu, 0, count);
  if (stored.length < count) {
    throw new FitsFormatError(
      `${file.name}: is incomplete: ${stored.length} of ${count} pixels can be read; ${problem}`,
      'Copy the file again.',
      file.name,
    );
  }
  return { axes: hdu.axes, stored, scaling: readScaling(hdu.header, hdu.bitpix) };
}

/**
 * Physical values in doubles: stored * BSCALE + BZERO, NaN for BLANK; NaN and infinities of float images stay. 64-bit integers are
 * added to BZERO before they are rounded to a double, so that unsigned ones come out right.
 */
export function physicalValues(image: ExactImage): Float64Array {
  const { stored, scaling } = image;
  const { bscale, bzero, blank } = scaling;
  if (stored instanceof BigInt64Array) {
    const whole = bscale === 1 && Number.isInteger(bzero) ? BigInt(bzero) : null;
    const bigBlank = blank === null ? null : BigInt(blank);
    return Float64Array.from(stored, (value) =>
      value === bigBlank ? NaN : whole !== null ? Number(value + whole) : Number(value) * bscale + bzero,
    );
  }
  const blankNumber = blank === null ? NaN : Number(blank);
  return Float64Array.from(stored, (value) => (value === blankNumber ? NaN : value * bscale + bzero));
}
