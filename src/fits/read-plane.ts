import { chooseImage } from './choose-image.js';
import type { FitsFile, FitsHdu } from './fits-file.js';
import { findMosaic } from './mosaic-pattern.js';
import { physicalPlane } from './physical-plane.js';
import { saturationLevel } from './saturation.js';
import { readScaling } from './scaling.js';
import { nativeView, planeExtent, readExactly, scratchBuffer } from './stored-image.js';
import type { PixelScratch, PlaneExtent, StoredArray } from './stored-image.js';
import type { PixelPlane } from './types.js';

export interface ReadPlaneOptions {
  /** Measure the rows that exist of a truncated file instead of refusing it. */
  readonly salvage?: boolean;
  /** Memory reused from frame to frame; the plane is then valid until the next read with the same scratch. */
  readonly scratch?: PixelScratch;
}

/**
 * Read the picture of an image HDU as one plane to measure, physical value = data * scale + zero.
 * Of three colour planes the green (middle) one is read, and `notes` says so. Throws FitsFormatError when the HDU holds no picture, is
 * truncated (without `salvage`) or its compressed tiles are damaged.
 */
export function readPlane(file: FitsFile, hdu: FitsHdu, options: ReadPlaneOptions = {}): PixelPlane {
  chooseImage(file, hdu.index);
  const notes: string[] = [];
  const { extent, stored, room } = readStoredPlane(file, hdu, options);
  const { width, height, fullHeight } = extent;
  const cube = hdu.axes[2] === 3;
  if (cube) notes.push('three colour planes: the second (green) one is measured');
  if (height < fullHeight)
    notes.push(`truncated: only the first ${height} of ${fullHeight} rows exist and are measured`);
  const scaling = readScaling(hdu.header, hdu.bitpix);
  const plane = physicalPlane(stored, scaling, room);
  const mosaic = cube ? null : findMosaic(hdu.header, fullHeight, { ...plane, width, height });
  if (mosaic?.note) notes.push(mosaic.note);
  return {
    width,
    height,
    ...plane,
    mosaic: mosaic?.pattern ?? null,
    saturation: saturationLevel(hdu.header, hdu.bitpix, plane.scale, plane.zero),
    notes,
  };
}

function readStoredPlane(
  file: FitsFile,
  hdu: FitsHdu,
  options: ReadPlaneOptions,
): { extent: PlaneExtent; stored: StoredArray; room: ArrayBuffer } {
  const extent = planeExtent(file, hdu, options.salvage ?? false);
  const { width, height, fullHeight, plane } = extent;
  const pixels = width * height;
  const pixelBytes = Math.abs(hdu.bitpix) / 8;
  const room = scratchBuffer(pixels * Math.max(2, pixelBytes), options.scratch);
  // 8-bit pixels go to the upper half, from where they widen upwards in place.
  const at = hdu.bitpix === 8 ? pixels : 0;
  readExactly(
    file,
    new Uint8Array(room, at, pixels * pixelBytes),
    hdu.dataOffset + plane * width * fullHeight * pixelBytes,
  );
  return { extent, stored: nativeView(room, at, pixels, hdu.bitpix), room };
}
