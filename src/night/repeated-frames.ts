import type { FrameAssessment } from '../field/types.js';

/**
 * Says which frames are the same exposure twice: same start, exposure and camera, and the very same figures. Two exposures of one sky never
 * agree to the last digit, a copied file always does. Frames without a start time or a figure are left out.
 *
 * @returns one sentence for the set, or none; copies are counted in groups, references and causes like any frame, so the user should know
 */
export function repeatedFrames(frames: readonly FrameAssessment[]): string[] {
  const first = new Map<string, string>();
  const copies: { readonly file: string; readonly of: string }[] = [];
  for (const frame of frames) {
    const { header, fwhm, background, stars } = frame;
    if (header.dateObs === null || fwhm.px === null) continue;
    const key = JSON.stringify([
      header.dateObs,
      header.exposureSeconds,
      header.filter,
      header.camera,
      fwhm.px,
      background.level,
      background.noise,
      stars.detected,
    ]);
    const original = first.get(key);
    if (original === undefined) first.set(key, frame.file);
    else copies.push({ file: frame.file, of: original });
  }
  const [example] = copies;
  if (example === undefined) return [];
  const one = copies.length === 1;
  return [
    `${one ? '1 frame is' : `${copies.length} frames are`} the same exposure as another (${example.file} is a copy of ${example.of}): ` +
      `take ${one ? 'it' : 'them'} out before stacking, a copy adds no light.`,
  ];
}
