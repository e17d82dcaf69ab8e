/** Where a target stands for an observer at a moment. */
export interface Pointing {
  readonly altitudeDeg: number;
  /** From north through east. */
  readonly azimuthDeg: number;
  /** Positive west of the meridian, hours in [-12, 12). */
  readonly hourAngle: number;
  readonly airmass: number;
}

const RADIAN = Math.PI / 180;

/**
 * Altitude, azimuth, hour angle and airmass of a direction (degrees, of date) at a site (degrees, east positive).
 * Sidereal time: Meeus, Astronomical Algorithms, 12.4; airmass: Kasten & Young 1989; infinite below the horizon.
 */
export function pointingAt(
  when: Date,
  raDeg: number,
  decDeg: number,
  latitudeDeg: number,
  longitudeDeg: number,
): Pointing {
  const daysSinceJ2000 = when.getTime() / 86_400_000 - 10957.5;
  const siderealDeg = 280.46061837 + 360.98564736629 * daysSinceJ2000 + longitudeDeg;
  const hourAngleDeg = ((((siderealDeg - raDeg + 180) % 360) + 360) % 360) - 180;
  const h = hourAngleDeg * RADIAN;
  const d = decDeg * RADIAN;
  const f = latitudeDeg * RADIAN;
  const sinAltitude = Math.sin(f) * Math.sin(d) + Math.cos(f) * Math.cos(d) * Math.cos(h);
  const altitudeDeg = Math.asin(Math.min(1, Math.max(-1, sinAltitude))) / RADIAN;
  const azimuth = Math.atan2(
    -Math.cos(d) * Math.sin(h),
    Math.sin(d) * Math.cos(f) - Math.cos(d) * Math.sin(f) * Math.cos(h),
  );
  return {
    altitudeDeg,
    azimuthDeg: (azimuth / RADIAN + 360) % 360,
    hourAngle: hourAngleDeg / 15,
    airmass: altitudeDeg > 0 ? 1 / (sinAltitude + 0.50572 * (altitudeDeg + 6.07995) ** -1.6364) : Infinity,
  };
}
