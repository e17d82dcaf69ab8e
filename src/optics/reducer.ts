/**
 * Distance from reducer to sensor that a measured reduction factor implies, mm: d = f_r (1 - R), from the thin-lens equation with a virtual object.
 *
 * A real reducer's principal plane lies inside it (W. J. Smith, Modern Optical Engineering, two-component systems).
 *
 * @param factor measured focal length over the bare telescope's
 * @param reducerFocalLengthMm the reducer's own focal length f_r, mm (negative for an extender)
 * @throws RangeError when the focal length is zero or not finite
 */
export function reducerDistanceMm(factor: number, reducerFocalLengthMm: number): number {
  if (!Number.isFinite(reducerFocalLengthMm) || reducerFocalLengthMm === 0) {
    throw new RangeError(
      `the reducer's own focal length must be a non-zero number of mm, not ${reducerFocalLengthMm}`,
    );
  }
  return reducerFocalLengthMm * (1 - factor);
}
