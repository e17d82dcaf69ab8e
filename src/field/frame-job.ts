import type { FrameKind } from '../fits/types.js';
import type { FrameAssessment } from './types.js';

/** What to do with one file; plain data, so that it can be posted to a worker. */
export interface FrameJob {
  /** Absolute path. */
  readonly path: string;
  /** Name shown to the user. */
  readonly file: string;
  readonly options: FrameOptions;
}

export interface FrameOptions {
  /** HDU to measure; null = the first image. */
  readonly hdu: number | null;
  /** Plate scale given by the user, arcsec per stored pixel; null = from the header. */
  readonly scaleArcsecPerPx: number | null;
  /** Measure the rows that exist of a truncated file. */
  readonly salvage: boolean;
  /** Measure every star instead of a field-balanced selection. */
  readonly thorough: boolean;
  /** Pictures to make while the pixels are at hand; 'corners': all, and the mean stars as a record. */
  readonly pictures: 'none' | 'preview' | 'all' | 'corners';
  /** Keep the shapes of single stars (a focus sweep is fitted to them). */
  readonly starShapes: boolean;
  /** Measure darks, flats and bias frames as well instead of setting them aside. */
  readonly anyKind: boolean;
}

export const defaultFrameOptions: FrameOptions = {
  hdu: null,
  scaleArcsecPerPx: null,
  salvage: false,
  thorough: false,
  pictures: 'none',
  starShapes: false,
  anyKind: false,
};

/** One file's outcome: measured, or set aside because its header calls it a calibration frame. */
export type FrameOutcome =
  | { readonly outcome: 'assessed'; readonly frame: FrameAssessment }
  | { readonly outcome: 'set-aside'; readonly file: string; readonly kind: FrameKind };
