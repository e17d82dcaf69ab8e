import type { FrameHeader } from '../fits/types.js';

const RADIAN = Math.PI / 180;

type Place = Pick<
  FrameHeader,
  'airmass' | 'altitudeDeg' | 'raDeg' | 'decDeg' | 'latitudeDeg' | 'longitudeDeg' | 'dateObs'
>;

/**
 * Airmass of an exposure: as the header gives it, else from the altitude, else from direction, site and time; null when the
 * header has none of these or the target stood below 5 degrees, where no formula serves.
 * Airmass: Kasten & Young 1989, Appl. Opt. 28, 4735; sidereal time: Meeus, Astronomical Algorithms, eq. 12.4 (linear terms).
 */
export function airmassOf(header: Place): number | null {
  if (header.airmass !== null && header.airmass >= 0.99 && header.airmass < 12) return header.airmass;
  const altitudeDeg = header.altitudeDeg ?? altitudeFromDirection(header);
  if (altitudeDeg === null || !(altitudeDeg > 5 && altitudeDeg <= 90)) return null;
  return 1 / (Math.sin(altitudeDeg * RADIAN) + 0.50572 * (altitudeDeg + 6.07995) ** -1.6364);
}

/** A width (any unit) brought to the zenith: Kolmogorov seeing grows as airmass^0.6 (Roddier 1981). */
export function atZenith(width: number, airmass: number): number {
  return width * airmass ** -0.6;
}

function altitudeFromDirection(header: Place): number | null {
  const { raDeg, decDeg, latitudeDeg, longitudeDeg, dateObs } = header;
  const time = dateObs === null ? NaN : Date.parse(dateObs);
  if (
    raDeg === null ||
    decDeg === null ||
    latitudeDeg === null ||
    longitudeDeg === null ||
    Number.isNaN(time)
  ) {
    return null;
  }
  const days = time / 86_400_000 - 10_957.5;
  const hourAngle = (280.46061837 + 360.98564736629 * days + longitudeDeg - raDeg) * RADIAN;
  const [declination, latitude] = [decDeg * RADIAN, latitudeDeg * RADIAN];
  const sine =
    Math.sin(latitude) * Math.sin(declination) +
    Math.cos(latitude) * Math.cos(declination) * Math.cos(hourAngle);
  return Math.asin(Math.min(1, Math.max(-1, sine))) / RADIAN;
}
