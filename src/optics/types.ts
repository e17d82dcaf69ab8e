/** Plate scale of a frame, in arcseconds per stored pixel, and where it came from. */
export interface PlateScale {
  readonly arcsecPerPx: number;
  readonly source: 'wcs' | 'keyword' | 'focal-length' | 'option';
  /** Pitch of a stored (binned) pixel, micrometres; null when unknown. */
  readonly pixelPitchMicron: number | null;
  /** Effective focal length implied by scale and pitch, mm; null without a pitch. */
  readonly focalLengthMm: number | null;
  /** Working focal ratio (effective focal length over aperture), null without an aperture. */
  readonly focalRatio: number | null;
  /** Sources that disagree by more than 2 %, in words. */
  readonly conflicts: readonly string[];
}

/** How the pixel frame lies on the sky, from a WCS. */
export interface SkyOrientation {
  /** Pixel-frame direction of celestial north, degrees counter-clockwise from +x. */
  readonly northDeg: number;
  /** Pixel-frame direction of celestial east. */
  readonly eastDeg: number;
  /** +1: east is 90 degrees counter-clockwise of north as drawn with y up; -1: mirrored. */
  readonly parity: 1 | -1;
}
