import { median } from 'simple-statistics';
import type { FrameAssessment, SizeFigure } from '../field/types.js';
import type { PlateScale } from '../optics/types.js';

/** Plate scales farther apart than this part belong to different optics: then nobody knows which is that of a frame without. */
const SAME_SCALE = 0.02;

/** What stands among a frame's unmeasured figures for want of a scale. */
const GIVEN_WITH_SCALE = ['scale', 'fwhm.arcsec', 'hfd.arcsec'];

/**
 * Give frames whose headers tell no plate scale that of the other frames of the same camera, telescope, format and binning, where those agree:
 * a capture program that leaves the focal length out of some headers has not changed the telescope. Frames of an unnamed camera stay as they are.
 *
 * @returns the frames in their order, and a warning that says what was taken from where
 */
export function shareScales(frames: readonly FrameAssessment[]): {
  readonly frames: readonly FrameAssessment[];
  readonly warnings: readonly string[];
} {
  const known = new Map<string, PlateScale[]>();
  for (const frame of frames) {
    const key = rigOf(frame);
    if (key !== null && frame.scale !== null) known.set(key, [...(known.get(key) ?? []), frame.scale]);
  }
  const taken: number[] = [];
  const shared = frames.map((frame) => {
    const key = frame.scale === null ? rigOf(frame) : null;
    const scale = key === null ? null : commonScale(known.get(key) ?? []);
    if (scale === null) return frame;
    taken.push(scale.arcsecPerPx);
    return withScale(frame, scale);
  });
  if (taken.length === 0) return { frames, warnings: [] };
  const [own, them] =
    taken.length === 1
      ? ['The header of 1 frame tells', 'it']
      : [`The headers of ${taken.length} frames tell`, 'them'];
  return {
    frames: shared,
    warnings: [
      `${own} no plate scale: that of the other frames of the same camera and telescope was taken for ${them} (${median(taken).toFixed(4)}"/px).`,
    ],
  };
}

function rigOf({ header, image }: FrameAssessment): string | null {
  if (header.camera === null) return null;
  return [header.camera, header.telescope, image.widthPx, image.heightPx, header.binning?.join('x')].join(
    '|',
  );
}

function commonScale(scales: readonly PlateScale[]): PlateScale | null {
  if (scales.length === 0) return null;
  const sorted = [...scales].sort((a, b) => a.arcsecPerPx - b.arcsecPerPx);
  const [least, most] = [sorted[0].arcsecPerPx, sorted[sorted.length - 1].arcsecPerPx];
  return most / least - 1 < SAME_SCALE ? { ...sorted[sorted.length >> 1], conflicts: [] } : null;
}

function withScale(frame: FrameAssessment, scale: PlateScale): FrameAssessment {
  const sized = (figure: SizeFigure): SizeFigure => ({
    ...figure,
    arcsec: figure.px === null ? null : figure.px * scale.arcsecPerPx,
  });
  const unmeasured = Object.fromEntries(
    Object.entries(frame.unmeasured).filter(([figure]) => !GIVEN_WITH_SCALE.includes(figure)),
  );
  return { ...frame, scale, fwhm: sized(frame.fwhm), hfd: sized(frame.hfd), unmeasured };
}
