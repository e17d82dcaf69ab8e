/** One card of a header, value typed by the FITS Standard 4.0, section 4.2. */
export interface Card {
  readonly keyword: string;
  readonly value: CardValue;
  readonly comment: string;
}

/** `undefined` marks a card with a value indicator but no value; commentary cards carry their text. */
export type CardValue =
  string | number | bigint | boolean | undefined | { readonly re: number; readonly im: number };

/** Layout of a colour filter mosaic as the stored pixels lie (row 0 is the first row stored). */
export interface MosaicPattern {
  /** Colours of the 2 x 2 cell in storage order: [row 0 col 0, row 0 col 1, row 1 col 0, row 1 col 1], offsets applied. */
  readonly cell: readonly [MosaicColour, MosaicColour, MosaicColour, MosaicColour];
  /** Where the pattern was learnt from, e.g. `BAYERPAT`. */
  readonly source: string;
}
export type MosaicColour = 'R' | 'G' | 'B';

/**
 * One image plane, ready to be measured: physical value = `data[i] * scale + zero`.
 *
 * 16-bit and 8-bit integer files keep their integers in a Uint16Array (signed ones are offset, `zero` says by how much);
 * everything else, and integers with BLANK pixels, is a Float32Array of physical values with NaN for "no value"
 * (then `scale` = 1, `zero` = 0). Row 0 is the first row stored; index = y0 * width + x0 with 0-based x0, y0.
 */
export interface PixelPlane {
  readonly width: number;
  readonly height: number;
  readonly data: Uint16Array | Float32Array;
  readonly scale: number;
  readonly zero: number;
  /** Colour mosaic, or null for a monochrome plane. */
  readonly mosaic: MosaicPattern | null;
  /** Pixels without a value (BLANK, NaN, infinite). */
  readonly blankCount: number;
  /**
   * Physical value at and above which a pixel may be clipped: from the header (SATURATE, DATAMAX) or the top of the integer
   * range; null when unknown. A detector may clip lower (12- or 14-bit cameras): measurement looks for a pile-up as well.
   */
  readonly saturation: number | null;
  /** Where the plane begins in the stored image when overscan was left out: columns and rows before its first pixel. */
  readonly origin?: { readonly x: number; readonly y: number };
  /** What had to be decided to get this plane, in words: the image or colour plane taken, rows salvaged, a mosaic read anew. */
  readonly notes?: readonly string[];
}

/** What kind of exposure the header says this is. */
export type FrameKind = 'light' | 'dark' | 'flat' | 'bias' | 'unknown';

/**
 * The meaning of a header, whatever program wrote it. Null: not in the header, or not usable (`missing` says why).
 * `sources` names the keyword each value came from.
 */
export interface FrameHeader {
  readonly kind: FrameKind;
  readonly object: string | null;
  readonly filter: string | null;
  readonly camera: string | null;
  readonly telescope: string | null;
  readonly site: string | null;
  readonly exposureSeconds: number | null;
  readonly gain: number | null;
  readonly offset: number | null;
  /** Electrons per ADU of the stored image, when the header gives it. */
  readonly electronsPerAdu: number | null;
  readonly readNoiseElectrons: number | null;
  readonly binning: readonly [x: number, y: number] | null;
  /** Start of exposure, ISO 8601 UTC with milliseconds and `Z`. */
  readonly dateObs: string | null;
  /** Sensor temperature, degrees Celsius. */
  readonly temperatureC: number | null;
  readonly ambientTemperatureC: number | null;
  readonly focuserTemperatureC: number | null;
  readonly focuserPosition: number | null;
  readonly focuserMicronPerStep: number | null;
  /** Side of the pier the telescope is on. */
  readonly pierSide: 'east' | 'west' | null;
  readonly altitudeDeg: number | null;
  readonly azimuthDeg: number | null;
  readonly airmass: number | null;
  readonly rotatorDeg: number | null;
  readonly raDeg: number | null;
  readonly decDeg: number | null;
  readonly latitudeDeg: number | null;
  /** East positive. */
  readonly longitudeDeg: number | null;
  readonly elevationMetre: number | null;
  /** Pixel pitch as the header gives it, micrometres (x, y); whether that is the binned pitch is decided by `optics`. */
  readonly pixelSizeMicron: readonly [x: number, y: number] | null;
  /** What the card's comment says that pitch belongs to, when binning makes a difference; absent when it does not say. */
  readonly pixelSizeOf?: 'stored-pixel' | 'sensor-pixel';
  readonly focalLengthMm: number | null;
  readonly apertureMm: number | null;
  readonly focalRatio: number | null;
  /** Plate scale written as such by some programs (arcsec per stored pixel). */
  readonly scaleKeywordArcsecPerPx: number | null;
  /** Celestial WCS linear part, or null. */
  readonly wcs: LinearWcs | null;
  readonly sources: Readonly<Record<string, string>>;
  readonly missing: Readonly<Record<string, string>>;
}

/** Linear part of a celestial WCS: degrees per pixel, FITS 1-based pixel coordinates. */
export interface LinearWcs {
  /** [[CD1_1, CD1_2], [CD2_1, CD2_2]] degrees per pixel. */
  readonly cd: readonly [readonly [number, number], readonly [number, number]];
  readonly crval: readonly [number, number] | null;
  readonly crpix: readonly [number, number] | null;
  readonly source: 'CD' | 'PC+CDELT' | 'CDELT+CROTA2' | 'CDELT';
}
