/**
 * Diameter of the geometric disc of light that a defocus makes, micrometres on the sensor: |z| / N.
 *
 * @param defocusMicron distance z of the image from the sensor along the axis, micrometres (sign free)
 * @param focalRatio working focal ratio N (> 0)
 */
export function defocusDiscMicron(defocusMicron: number, focalRatio: number): number {
  return Math.abs(defocusMicron) / focalRatio;
}

/**
 * Second moment per axis of that disc, micrometres squared: D^2 (1 + eps^2) / 16 for an annular pupil, D^2 / 16 for a full one.
 *
 * @param defocusMicron distance z of the image from the sensor along the axis, micrometres
 * @param focalRatio working focal ratio N (> 0)
 * @param obstruction central obstruction eps as a fraction of the pupil's diameter, 0 to below 1
 */
export function defocusVarianceMicron2(defocusMicron: number, focalRatio: number, obstruction = 0): number {
  const disc = defocusDiscMicron(defocusMicron, focalRatio);
  return (disc * disc * (1 + obstruction * obstruction)) / 16;
}
