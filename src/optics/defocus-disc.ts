/**
 * Diameter of the geometric disc of light that a defocus makes, micrometres on the sensor: |z| / N.
 *
 * @param defocusMicron distance z of the image from the sensor along the axis, micrometres (sign free)
 * @param focalRatio working focal ratio N (> 0)
 */
export function defocusDiscMicron(defocusMicron: number, focalRatio: number): number {
  return Math.abs(defocusMicron) / focalRatio;
}
