import type { Header } from './header.js';

/** How stored numbers become physical ones: value = stored * bscale + bzero, except `blank` (FITS Standard 4.0, section 4.4.2.5). */
export interface Scaling {
  readonly bscale: number;
  readonly bzero: number;
  /** Stored integer that means "no value"; null when there is none, and for floating-point images. */
  readonly blank: number | bigint | null;
}

/** Read BSCALE, BZERO and BLANK; a BSCALE of 0, or one that is no number, counts as 1. */
export function readScaling(header: Header, bitpix: number): Scaling {
  const bscale = header.number('BSCALE');
  const bzero = header.number('BZERO');
  // A compressed integer image keeps its BLANK, or has the same in ZBLANK (section 10.1).
  const blank = header.get('BLANK') ?? (header.get('ZIMAGE') === true ? header.get('ZBLANK') : undefined);
  return {
    bscale: bscale === null || bscale === 0 || !Number.isFinite(bscale) ? 1 : bscale,
    bzero: bzero === null || !Number.isFinite(bzero) ? 0 : bzero,
    blank:
      bitpix > 0 && (typeof blank === 'bigint' || Number.isInteger(blank))
        ? (blank as number | bigint)
        : null,
  };
}
