import { FitsFormatError } from '../errors.js';
import { chooseImage, pictureAxes, severalImages } from './choose-image.js';
import { cropPlane } from './crop-plane.js';
import type { FitsFile, FitsHdu } from './fits-file.js';
import { findMosaic, shiftCell } from './mosaic-pattern.js';
import { lightSection } from './image-section.js';
import { inheritedHeader } from './inherited-header.js';
import { physicalPlane } from './physical-plane.js';
import type { PixelScratch } from './pixel-scratch.js';
import { saturationLevel } from './saturation.js';
import { readScaling } from './scaling.js';
import { readStoredPixels } from './stored-image.js';
import type { PixelPlane } from './types.js';

export interface ReadPlaneOptions {
  /** Measure the rows that exist of a truncated file instead of refusing it. */
  readonly salvage?: boolean;
  /** Memory reused from frame to frame; the plane is then valid until the next read with the same scratch. */
  readonly scratch?: PixelScratch;
}

/** Fewest rows worth salvaging. */
const MIN_ROWS = 8;

/**
 * Read the picture of an image HDU as one plane to measure, physical value = data * scale + zero.
 * Of three colour planes the green (middle) one is read, and overscan that the header names is left out; `notes` says so. Throws FitsFormatError when the HDU holds no picture, is
 * truncated (without `salvage`) or its compressed tiles are damaged.
 */
export function readPlane(file: FitsFile, hdu: FitsHdu, options: ReadPlaneOptions = {}): PixelPlane {
  chooseImage(file, hdu.index);
  const several = severalImages(file, hdu);
  const notes = several === null ? [] : [several];
  const axes = pictureAxes(hdu);
  const width = axes[0]!;
  const fullHeight = axes[1]!;
  const cube = axes.length === 3;
  // Green carries most of the light and is what a mosaic is measured on.
  if (cube) notes.push('three colour planes: the second (green) one is measured');
  const count = width * fullHeight;
  const scaling = readScaling(hdu.header, hdu.bitpix);
  const { stored, room, isFlipped, problem } = readStoredPixels(file, hdu, cube ? count : 0, count, {
    scratch: options.scratch,
    // BLANK pixels have to be found first.
    flip: scaling.blank === null,
  });
  const height = Math.floor(stored.length / width);
  if (height < fullHeight) {
    if (!options.salvage || height < MIN_ROWS) throw incomplete(file, height, fullHeight, problem);
    notes.push(`only the first ${height} of ${fullHeight} rows could be read and are measured: ${problem}`);
  }
  const scaled = physicalPlane(stored.subarray(0, width * height), scaling, room, isFlipped);
  const whole = { width, height, ...scaled };
  const header = inheritedHeader(file, hdu);
  const found = cube ? null : findMosaic(header, fullHeight, whole);
  if (found?.note) notes.push(found.note);
  const full = lightSection(hdu.header, width, fullHeight);
  // Of a salvaged frame the section's last rows may be missing.
  const section = full && { ...full, height: Math.min(full.height, height - full.y0) };
  if (section && section.height < MIN_ROWS) throw incomplete(file, height, fullHeight, problem);
  if (section) {
    notes.push(
      `overscan left out: ${section.source} is measured, ${section.width} x ${section.height} of ${width} x ${height} pixels`,
    );
  }
  const plane = section ? cropPlane(whole, section) : whole;
  const pattern = found?.pattern ?? null;
  return {
    mosaic:
      pattern && section ? { ...pattern, cell: shiftCell(pattern.cell, section.x0, section.y0) } : pattern,
    saturation: saturationLevel(header, hdu.bitpix, plane.scale, plane.zero),
    ...(section ? { origin: { x: section.x0, y: section.y0 } } : {}),
    notes,
    ...plane,
  };
}

function incomplete(
  file: FitsFile,
  rows: number,
  fullHeight: number,
  problem: string | null,
): FitsFormatError {
  return new FitsFormatError(
    `${file.name}: is incomplete: ${rows} of ${fullHeight} rows can be read; ${problem}`,
    rows >= MIN_ROWS
      ? 'Copy the file again (one still being written is complete a little later), or use --salvage to measure the rows that exist.'
      : 'Copy the file again (one still being written is complete a little later).',
    file.name,
  );
}
