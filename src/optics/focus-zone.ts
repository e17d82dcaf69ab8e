/**
 * Total depth of the critical focus zone, micrometres: 4.88 lambda N^2, the Airy diameter 2.44 lambda N times N on either side of focus.
 *
 * @param wavelengthMicron wavelength, micrometres (> 0)
 * @param focalRatio working focal ratio N, focal length over aperture after any reducer (> 0)
 * @throws RangeError when either is not a positive finite number
 *
 * Source: diffraction disc 2.44 lambda N (Born & Wolf, Principles of Optics, 8.5.2); the zone as in SCIENCE notes, section 5.
 * Check: 0.55 um at f/5 gives 67.1 um.
 */
export function criticalFocusZoneMicron(wavelengthMicron: number, focalRatio: number): number {
  if (!(wavelengthMicron > 0) || !Number.isFinite(wavelengthMicron)) {
    throw new RangeError(`wavelength must be a positive number of micrometres, not ${wavelengthMicron}`);
  }
  if (!(focalRatio > 0) || !Number.isFinite(focalRatio)) {
    throw new RangeError(`focal ratio must be a positive number, not ${focalRatio}`);
  }
  return 4.88 * wavelengthMicron * focalRatio * focalRatio;
}
