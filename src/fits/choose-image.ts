import { FitsFormatError } from '../errors.js';
import type { FitsFile, FitsHdu } from './fits-file.js';

/** Fewest pixels along a side that can hold a star and its surroundings. */
const MIN_SIDE_PX = 8;

/** The picture's axes without trailing axes of length 1. */
export function pictureAxes(hdu: FitsHdu): readonly number[] {
  let n = hdu.axes.length;
  while (n > 2 && hdu.axes[n - 1] === 1) n--;
  return hdu.axes.slice(0, n);
}

/** Why an HDU can't be measured as a picture, in words, or null when it can. */
function objection(hdu: FitsHdu): string | null {
  if (hdu.kind === 'empty') return 'holds no data';
  if (hdu.kind === 'table') return 'is a table';
  if (hdu.kind === 'groups') return 'holds random groups';
  if (hdu.kind === 'other') return 'is an extension of unknown type';
  const axes = pictureAxes(hdu);
  const shape = axes.join(' x ');
  if (axes.length < 2) return `has one axis only (${shape || 'no axis'})`;
  if (axes.some((length) => length < 1)) return `has an axis without pixels (${shape})`;
  if (axes.length > 3 || (axes.length === 3 && axes[2] !== 3))
    return `is a cube of ${shape}, neither a picture nor three colours`;
  if (axes[0]! < MIN_SIDE_PX || axes[1]! < MIN_SIDE_PX) return `is a strip of ${shape} pixels`;
  return null;
}

/**
 * The HDU to measure: the first that holds a two-dimensional image (or one of three colour planes), tile-compressed ones included,
 * or the one asked for by its index. Throws FitsFormatError, naming what each HDU is, when there is none.
 */
export function chooseImage(file: FitsFile, hdu?: number): FitsHdu {
  if (hdu !== undefined) {
    const chosen = file.hdus[hdu];
    const last = file.hdus.length - 1;
    const problem = chosen
      ? objection(chosen)
      : `does not exist (the file has HDU 0${last > 0 ? ` to ${last}` : ' only'})`;
    if (chosen && problem === null) return chosen;
    throw new FitsFormatError(
      `${file.name}: HDU ${hdu} ${problem}`,
      'Choose another HDU, or leave the choice to the program.',
      file.name,
    );
  }
  const found = file.hdus.find((candidate) => objection(candidate) === null);
  if (found) return found;
  const reasons = file.hdus.slice(0, 5).map((candidate) => `HDU ${candidate.index} ${objection(candidate)}`);
  if (file.hdus.length > 5) reasons.push(`and ${file.hdus.length - 5} more`);
  const broken = file.warnings.length > 0 ? `; ${file.warnings[file.warnings.length - 1]}` : '';
  throw new FitsFormatError(
    `${file.name}: holds no image to measure: ${reasons.join(', ')}${broken}`,
    'Give a file with a two-dimensional image of at least 8 x 8 pixels.',
    file.name,
  );
}

/** Which of a file's images is measured, in words; null when it holds one only. */
export function severalImages(file: FitsFile, chosen: FitsHdu): string | null {
  const images = file.hdus.filter((candidate) => objection(candidate) === null);
  if (images.length < 2) return null;
  const name = ({ index, name: extension }: FitsHdu): string =>
    extension ? `${index} ${extension}` : `${index}`;
  const others = images.filter((image) => image !== chosen).map(name);
  const listed = others.length > 6 ? [...others.slice(0, 6), 'and more'] : others;
  return `${images.length} images in the file: that of HDU ${name(chosen)} is measured (--hdu chooses; others: ${listed.join(', ')})`;
}
