import type { FrameHeader } from '../fits/types.js';
import { storedPixelPitch } from './pixel-pitch.js';
import type { PlateScale } from './types.js';

/** Arcseconds in a radian, per millimetre and micrometre: s ["/px] = 206.264806 p [um] / f [mm]. */
const ARCSEC_MM_PER_MICRON = 206.264806;
/** Two sources that differ by more are a finding. */
const TOLERANCE = 0.02;

/** Plate scale in arcsec per pixel of a pixel pitch (micrometres) behind a focal length (mm). */
export function arcsecPerPx(pitchMicron: number, focalLengthMm: number): number {
  return (ARCSEC_MM_PER_MICRON * pitchMicron) / focalLengthMm;
}

interface Candidate {
  readonly source: PlateScale['source'];
  readonly arcsecPerPx: number;
  readonly words: string;
}

function differs(a: number, b: number): boolean {
  return Math.abs(a / b - 1) > TOLERANCE;
}

function round(value: number): string {
  return String(Number(value.toPrecision(4)));
}

/**
 * Plate scale of a frame in arcsec per stored pixel, from the most trusted source there is: the option, a celestial WCS, a scale keyword,
 * focal length with pixel size. `conflicts` names sources that disagree by more than 2 % with the one used, and doubts about binning.
 * Null, with the reason, when nothing gives a scale. Throws RangeError for an option that is no positive number.
 */
export function derivePlateScale(
  header: FrameHeader,
  optionArcsecPerPx?: number,
): { readonly scale: PlateScale | null; readonly reason: string | null } {
  const candidates: Candidate[] = [];
  if (optionArcsecPerPx !== undefined) {
    if (!(optionArcsecPerPx > 0 && Number.isFinite(optionArcsecPerPx))) {
      throw new RangeError(`plate scale ${optionArcsecPerPx} is no positive number`);
    }
    candidates.push({ source: 'option', arcsecPerPx: optionArcsecPerPx, words: 'the option' });
  }
  if (header.wcs) {
    const [[a, b], [c, d]] = header.wcs.cd;
    const value = Math.sqrt(Math.abs(a * d - b * c)) * 3600;
    // Some programs write a placeholder matrix of 1 degree a pixel.
    if (value > 1e-3 && value < 3600) {
      candidates.push({ source: 'wcs', arcsecPerPx: value, words: `the WCS (${header.wcs.source})` });
    }
  }
  if (header.scaleKeywordArcsecPerPx !== null) {
    const keyword = header.sources.scaleKeywordArcsecPerPx ?? 'a keyword';
    candidates.push({ source: 'keyword', arcsecPerPx: header.scaleKeywordArcsecPerPx, words: keyword });
  }
  const trusted = candidates[0]?.arcsecPerPx ?? null;
  const focal = statedFocalLength(header);
  const arcsecPerMicron = focal === null ? null : arcsecPerPx(1, focal);
  const pitch = storedPixelPitch(header, trusted, arcsecPerMicron);
  if (pitch && focal !== null) {
    candidates.push({
      source: 'focal-length',
      arcsecPerPx: arcsecPerPx(pitch.micron, focal),
      words: `focal length ${round(focal)} mm with ${round(pitch.micron)} um pixels`,
    });
  }
  const best = candidates[0];
  if (!best) return { scale: null, reason: reasonFor(header) };
  const focalLengthMm = pitch ? (ARCSEC_MM_PER_MICRON * pitch.micron) / best.arcsecPerPx : null;
  const conflicts = candidates
    .slice(1)
    .filter((other) => differs(other.arcsecPerPx, best.arcsecPerPx))
    .map((other) => conflictInWords(best, other, focalLengthMm));
  if (pitch?.doubt) conflicts.push(pitch.doubt);
  const focalRatio =
    focalLengthMm !== null && header.apertureMm !== null ? focalLengthMm / header.apertureMm : null;
  return {
    scale: {
      arcsecPerPx: best.arcsecPerPx,
      source: best.source,
      pixelPitchMicron: pitch?.micron ?? null,
      focalLengthMm,
      focalRatio,
      conflicts,
    },
    reason: null,
  };
}

/** The focal length that the header states, or aperture times focal ratio, mm. */
function statedFocalLength(header: FrameHeader): number | null {
  if (header.focalLengthMm !== null) return header.focalLengthMm;
  return header.apertureMm !== null && header.focalRatio !== null
    ? header.apertureMm * header.focalRatio
    : null;
}

function conflictInWords(best: Candidate, other: Candidate, focalLengthMm: number | null): string {
  const implied =
    focalLengthMm === null
      ? ''
      : `; ${best.words} implies an effective focal length of ${round(focalLengthMm)} mm`;
  return `${other.words} gives ${round(other.arcsecPerPx)} "/px, ${best.words} ${round(best.arcsecPerPx)} "/px${implied}`;
}

function reasonFor(header: FrameHeader): string {
  if (header.pixelSizeMicron) {
    return 'no WCS and no scale keyword, and the focal length is missing (FOCALLEN)';
  }
  if (statedFocalLength(header) !== null) {
    return 'no WCS and no scale keyword, and the pixel size is missing (XPIXSZ)';
  }
  return 'no WCS, no scale keyword, no focal length and no pixel size in the header';
}
