import type { FrameHeader } from '../fits/types.js';
import type { PlateScale } from './types.js';

/** Arcseconds in a radian, per millimetre and micrometre: s ["/px] = 206.264806 p [um] / f [mm]. */
const ARCSEC_MM_PER_MICRON = 206.264806;
/** Two sources that differ by more are a finding. */
const TOLERANCE = 0.02;

/** Plate scale in arcsec per pixel of a pixel pitch (micrometres) behind a focal length (mm). */
export function arcsecPerPx(pitchMicron: number, focalLengthMm: number): number {
  return (ARCSEC_MM_PER_MICRON * pitchMicron) / focalLengthMm;
}

interface Pitch {
  readonly micron: number;
  readonly note: string | null;
}

interface Candidate {
  readonly source: PlateScale['source'];
  readonly arcsecPerPx: number;
  readonly words: string;
}

function differs(a: number, b: number): boolean {
  return Math.abs(a / b - 1) > TOLERANCE;
}

/**
 * Pitch of the stored pixel: XPIXSZ as it stands (programs write the binned pitch, common practice), unless a trusted scale
 * together with the focal length fits the pitch times the binning, and only that.
 */
function storedPitch(header: FrameHeader, trusted: number | null): Pitch | null {
  if (!header.pixelSizeMicron) return null;
  const [x, y] = header.pixelSizeMicron;
  const [binX, binY] = header.binning ?? [1, 1];
  const asWritten = Math.sqrt(x * y);
  if (binX === 1 && binY === 1) return { micron: asWritten, note: null };
  const multiplied = Math.sqrt(x * binX * y * binY);
  if (trusted !== null && header.focalLengthMm !== null) {
    const implied = (trusted * header.focalLengthMm) / ARCSEC_MM_PER_MICRON;
    // A reducer's factor (0.4 and up) may hide the difference: only a close fit counts.
    if (!differs(implied, multiplied)) return { micron: multiplied, note: null };
    if (!differs(implied, asWritten)) return { micron: asWritten, note: null };
  }
  return {
    micron: asWritten,
    note: `pixel size ${round(x)} um is taken as that of the pixels binned ${binX} x ${binY}; if it is that of the single pixel, the scale is ${binX} times as large`,
  };
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
  const pitch = storedPitch(header, candidates[0]?.arcsecPerPx ?? null);
  if (pitch && header.focalLengthMm !== null) {
    candidates.push({
      source: 'focal-length',
      arcsecPerPx: arcsecPerPx(pitch.micron, header.focalLengthMm),
      words: `focal length ${round(header.focalLengthMm)} mm with ${round(pitch.micron)} um pixels`,
    });
  }
  const best = candidates[0];
  if (!best) return { scale: null, reason: reasonFor(header) };
  const focalLengthMm = pitch ? (ARCSEC_MM_PER_MICRON * pitch.micron) / best.arcsecPerPx : null;
  const conflicts = candidates
    .slice(1)
    .filter((other) => differs(other.arcsecPerPx, best.arcsecPerPx))
    .map((other) => conflictInWords(best, other, focalLengthMm));
  if (pitch?.note) conflicts.push(pitch.note);
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

function conflictInWords(best: Candidate, other: Candidate, focalLengthMm: number | null): string {
  const implied =
    focalLengthMm === null
      ? ''
      : `; ${best.words} implies an effective focal length of ${round(focalLengthMm)} mm`;
  return `${other.words} gives ${round(other.arcsecPerPx)} "/px, ${best.words} ${round(best.arcsecPerPx)} "/px${implied}`;
}

function reasonFor(header: FrameHeader): string {
  if (header.pixelSizeMicron && header.focalLengthMm === null) {
    return 'no WCS and no scale keyword, and the focal length is missing (FOCALLEN)';
  }
  if (header.focalLengthMm !== null) {
    return 'no WCS and no scale keyword, and the pixel size is missing (XPIXSZ)';
  }
  return 'no WCS, no scale keyword, no focal length and no pixel size in the header';
}
