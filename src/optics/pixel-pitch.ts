import type { FrameHeader } from '../fits/types.js';

/** Pitch of the stored (binned) pixel, and a doubt in words when it had to be assumed. */
export interface StoredPitch {
  readonly micron: number;
  readonly doubt: string | null;
}

/** Pixel pitches of sensors in astronomical and industrial cameras, micrometres (common practice, no source). */
const sensorPitchesMicron = [
  1.45, 1.55, 1.85, 2, 2.2, 2.315, 2.4, 2.5, 2.74, 2.9, 3, 3.1, 3.2, 3.45, 3.69, 3.75, 3.76, 3.8, 4.3, 4.54,
  4.63, 4.65, 4.78, 4.88, 5.2, 5.4, 5.5, 5.6, 5.86, 5.94, 6, 6.05, 6.45, 6.5, 6.8, 7.8, 8.3, 9, 10, 11, 12,
  13, 13.5, 15, 20, 24,
];

const isSensorPitch = (micron: number): boolean =>
  sensorPitchesMicron.some((known) => Math.abs(micron / known - 1) < 0.002);

/**
 * Decide whether a header's pixel size is that of the stored pixel or of the sensor's, when pixels were binned. In turn:
 * what the card's comment says; a trusted scale (arcsec/px, null without) that fits the focal length with one of the two and not the other;
 * which of the two sizes leads to a pitch that sensors have; else the stored pixel's is assumed, with a doubt in words (programs
 * differ; most write the binned pitch: common practice, no source). Null without a pixel size. `arcsecPerMicron` is 206.264806 / focal length.
 */
export function storedPixelPitch(
  header: FrameHeader,
  trustedArcsecPerPx: number | null,
  arcsecPerMicron: number | null,
): StoredPitch | null {
  if (!header.pixelSizeMicron) return null;
  const [x, y] = header.pixelSizeMicron;
  const [binX, binY] = header.binning ?? [1, 1];
  const written = Math.sqrt(x * y);
  const multiplied = Math.sqrt(x * binX * y * binY);
  const stored: StoredPitch = { micron: written, doubt: null };
  const single: StoredPitch = { micron: multiplied, doubt: null };
  if (binX === 1 && binY === 1) return stored;
  if (header.pixelSizeOf === 'stored-pixel') return stored;
  if (header.pixelSizeOf === 'sensor-pixel') return single;
  if (trustedArcsecPerPx !== null && arcsecPerMicron !== null) {
    const implied = trustedArcsecPerPx / arcsecPerMicron;
    const fits = (micron: number): boolean => Math.abs(implied / micron - 1) < 0.02;
    // A reducer that the focal length leaves out may hide the factor: only a close fit counts.
    if (fits(written) !== fits(multiplied)) return fits(written) ? stored : single;
  }
  const storedIsKnown = isSensorPitch(x / binX);
  const singleIsKnown = isSensorPitch(x);
  if (storedIsKnown !== singleIsKnown) return storedIsKnown ? stored : single;
  return {
    micron: written,
    doubt: `the pixel size ${Number(x.toPrecision(4))} um is taken as that of pixels binned ${binX} x ${binY}; if it is the sensor's own, sizes in arcsec are ${binX} times as large`,
  };
}
