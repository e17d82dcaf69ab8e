import type { FrameAssessment } from '../field/types.js';

/**
 * Weight of the frames of one group in a stack of point sources, relative to the best of them: (T / (noise x FWHM))^2.
 *
 * It is the squared signal to noise of a faint star (King 1983: the noise-equivalent area goes with FWHM squared). Null where transparency, noise or
 * FWHM is missing or not above zero; a group of one frame has nothing to compare its transparency with, and weighs 1.
 */
export function stackWeights(
  frames: readonly FrameAssessment[],
  transparency: ReadonlyMap<string, number>,
): (number | null)[] {
  const single = frames.length === 1;
  const raw = frames.map((frame) => {
    const t = transparency.get(frame.file) ?? (single ? 1 : null);
    const noise = frame.background.noise;
    const fwhm = frame.fwhm.px;
    if (t === null || noise === null || fwhm === null || !(noise > 0) || !(fwhm > 0)) return null;
    return (t / (noise * fwhm)) ** 2;
  });
  const best = Math.max(0, ...raw.filter((weight) => weight !== null));
  return raw.map((weight) => (weight === null || best === 0 ? null : weight / best));
}
