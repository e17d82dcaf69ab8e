import type { JudgedFrame } from './types.js';

/** Focal ratio times pixel pitch, micrometres of defocus per pixel of blur disc; null when either is unknown. */
export function micronPerDiscPx(members: readonly JudgedFrame[]): number | null {
  for (const { scale, header } of members) {
    const pitch = scale?.pixelPitchMicron ?? null;
    const ratio =
      scale?.focalRatio ??
      header.focalRatio ??
      (header.focalLengthMm !== null && header.apertureMm !== null && header.apertureMm > 0
        ? header.focalLengthMm / header.apertureMm
        : null);
    if (pitch !== null && ratio !== null && ratio > 0) return pitch * ratio;
  }
  return null;
}
