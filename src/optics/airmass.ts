/**
 * Relative airmass at an apparent altitude: 1 / (sin h + 0.50572 (h + 6.07995)^-1.6364), h in degrees.
 *
 * @param altitudeDeg apparent altitude above the horizon, degrees; NaN below -1 degree, where the formula ends.
 * Source: Kasten & Young 1989, Applied Optics 28, 4735. Check: 90 degrees gives 1.000, 30 gives 1.994, 0 about 38.
 */
export function airmass(altitudeDeg: number): number {
  if (!(altitudeDeg >= -1 && altitudeDeg <= 90)) return NaN;
  const sine = Math.sin((altitudeDeg * Math.PI) / 180);
  return 1 / (sine + 0.50572 * (altitudeDeg + 6.07995) ** -1.6364);
}
