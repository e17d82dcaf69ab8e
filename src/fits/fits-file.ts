import type { Header } from './header.js';
import type { ByteSource } from './source.js';
import type { HduStructure } from './structure.js';

export type HduKind = 'image' | 'compressed-image' | 'table' | 'groups' | 'empty' | 'other';

/** One header and data unit of an open file. */
export interface FitsHdu {
  /** 0 is the primary HDU. */
  readonly index: number;
  /** EXTNAME, or an empty string. */
  readonly name: string;
  readonly kind: HduKind;
  readonly header: Header;
  /** BITPIX of the image: of the picture inside for a tile-compressed one. */
  readonly bitpix: number;
  /** Axes of the image in pixels, NAXIS1 first: of the picture inside for a tile-compressed one. */
  readonly axes: readonly number[];
  /** The data unit as stored. */
  readonly structure: HduStructure;
  /** Byte where the data unit starts. */
  readonly dataOffset: number;
  /** Bytes of the data unit that the file really holds. */
  readonly availableBytes: number;
}

/** An open FITS file: headers read, pixels on request. Close it when done. */
export interface FitsFile {
  readonly name: string;
  /** Bytes of the file on disk. */
  readonly size: number;
  readonly hdus: readonly FitsHdu[];
  readonly warnings: readonly string[];
  /** The bytes, inflated when the file is gzipped. */
  readonly source: ByteSource;
  close(): void;
}
