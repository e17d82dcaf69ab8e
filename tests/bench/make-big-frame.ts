import { existsSync, mkdirSync, renameSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Frames of the size of today's sensors: 3:2 sides, square pixels. */
export const sensors = {
  '16 Mpx': { width: 4656, height: 3520 },
  '26 Mpx': { width: 6248, height: 4176 },
  '62 Mpx': { width: 9576, height: 6388 },
} as const;
export type SensorName = keyof typeof sensors;

/** Mulberry32: a small seeded generator, good enough for a benchmark's sky. */
function generator(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = state;
    t = Math.imul(t ^ (t >>> 15), t | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

const card = (keyword: string, value: string): string =>
  `${keyword.padEnd(8)}= ${value.padStart(20)}`.padEnd(80);

/** Sky of these frames at 0-based pixel (x, y), ADU. */
export function bigFrameSky(sensor: SensorName, x: number, y: number): number {
  const { width, height } = sensors[sensor];
  return 900 + (120 * x) / width + (60 * y) / height;
}

/**
 * A seeded 16-bit frame with a sky gradient, noise and Moffat stars (beta 3, FWHM 3 px) of power-law flux, written once into the
 * folder for temporary files.
 *
 * @param exposure frames of one seed show the same stars, each exposure with noise of its own
 * @returns its path
 */
export function makeBigFrame(sensor: SensorName, stars: number, seed: number, exposure = 0): string {
  const { width, height } = sensors[sensor];
  const folder = join(tmpdir(), 'starassay-bench');
  const path = join(folder, `${width}x${height}-${stars}-${seed}-${exposure}.fits`);
  if (existsSync(path)) return path;
  mkdirSync(folder, { recursive: true });

  const random = generator(seed);
  // A table of Gaussian deviates read at random places: drawing each of 26 million would take most of a minute.
  const deviates = Float32Array.from({ length: 1 << 20 }, () => {
    const u = Math.sqrt(-2 * Math.log(1 - random()));
    return u * Math.cos(2 * Math.PI * random());
  });
  const light = new Float32Array(width * height);
  const alpha = 3 / (2 * Math.sqrt(2 ** (1 / 3) - 1));
  for (let k = 0; k < stars; k++) {
    const x = random() * width;
    const y = random() * height;
    const flux = 2800 * random() ** -0.9;
    const peak = (Math.min(flux, 4e6) * 2) / (Math.PI * alpha * alpha);
    const reach = 24;
    for (let j = Math.max(0, Math.ceil(y - reach)); j <= Math.min(height - 1, y + reach); j++) {
      for (let i = Math.max(0, Math.ceil(x - reach)); i <= Math.min(width - 1, x + reach); i++) {
        light[j * width + i] += peak * (1 + ((i - x) ** 2 + (j - y) ** 2) / (alpha * alpha)) ** -3;
      }
    }
  }
  const stored = new Int16Array(width * height);
  const grain = generator(1000 * seed + exposure);
  let at = 0;
  for (let j = 0; j < height; j++) {
    for (let i = 0; i < width; i++) {
      const electrons = light[j * width + i] + bigFrameSky(sensor, i, j);
      if ((i & 1023) === 0) at = Math.floor(grain() * deviates.length);
      at = (at + 1) & (deviates.length - 1);
      const adu = electrons + deviates[at] * Math.sqrt(electrons + 20);
      stored[j * width + i] = Math.max(0, Math.min(65535, Math.round(adu))) - 32768;
    }
  }
  const bytes = Buffer.from(stored.buffer);
  bytes.swap16();
  const header = [
    card('SIMPLE', 'T'),
    card('BITPIX', '16'),
    card('NAXIS', '2'),
    card('NAXIS1', String(width)),
    card('NAXIS2', String(height)),
    card('BZERO', '32768'),
    card('BSCALE', '1'),
    card('IMAGETYP', "'LIGHT   '"),
    card('EXPTIME', '120.0'),
    card('DATE-OBS', "'2026-03-14T22:00:00'"),
    card('XPIXSZ', '3.76'),
    card('FOCALLEN', '530.0'),
    'END'.padEnd(80),
  ].join('');
  const padded = header.padEnd(Math.ceil(header.length / 2880) * 2880);
  const tail = Buffer.alloc((2880 - (bytes.length % 2880)) % 2880);
  writeFileSync(`${path}.part`, Buffer.concat([Buffer.from(padded, 'latin1'), bytes, tail]));
  renameSync(`${path}.part`, path);
  return path;
}
