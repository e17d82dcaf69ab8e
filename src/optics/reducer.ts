function requireFocalLength(value: number): void {
  if (!Number.isFinite(value) || value === 0) {
    throw new RangeError(`the reducer's own focal length must be a non-zero number of mm, not ${value}`);
  }
}

/**
 * Factor by which a thin reducer scales the telescope's focal length: R = 1 - d / f_r.
 *
 * @param distanceMm distance d from the reducer's principal plane to the sensor, mm
 * @param reducerFocalLengthMm the reducer's own focal length f_r, mm (negative for an extender)
 * @throws RangeError when the focal length is zero or not finite
 *
 * Source: thin-lens equation with a virtual object; a real reducer's principal plane lies inside it (W. J. Smith, Modern Optical Engineering, two-component systems).
 */
export function reducerFactor(distanceMm: number, reducerFocalLengthMm: number): number {
  requireFocalLength(reducerFocalLengthMm);
  return 1 - distanceMm / reducerFocalLengthMm;
}

/**
 * Distance from reducer to sensor that a measured reduction factor implies, mm: d = f_r (1 - R).
 *
 * @param factor measured focal length over the bare telescope's
 * @param reducerFocalLengthMm the reducer's own focal length, mm
 * @throws RangeError when the focal length is zero or not finite
 */
export function reducerDistanceMm(factor: number, reducerFocalLengthMm: number): number {
  requireFocalLength(reducerFocalLengthMm);
  return reducerFocalLengthMm * (1 - factor);
}

/**
 * How far the reducer stands from the focus of its own light, mm, learnt from two spacings without a catalogue:
 * with R = 1 - d / f_r the ratio q of the focal lengths at d + step and d gives f_r - d = step / (1 - q).
 *
 * @param focalLengthRatio q, focal length at the longer spacing over that at the shorter one
 * @param stepMm how much longer the second spacing is, mm
 * @returns f_r - d at the shorter spacing, mm; Infinity when the ratio is 1 (the step changed nothing)
 */
export function reducerRemainderMm(focalLengthRatio: number, stepMm: number): number {
  return stepMm / (1 - focalLengthRatio);
}
