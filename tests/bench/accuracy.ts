/*
 * How near the measured figures come to the truth, over the range that rigs produce: `npm run bench:accuracy`.
 * Star images that no fit assumes (Kolmogorov seeing, discs, drifts, sums of Gaussians), several seeds a cell; per cell the mean error
 * (bias) and its standard deviation from seed to seed. `--seeds N` (default 4), `--from N`: the first of them (default 1); `--only TEXT`: cells whose name holds it.
 */
import { measureBackground } from '../../src/image/index.js';
import { measureStars, summariseStars } from '../../src/stars/index.js';
import {
  annulus,
  convolved,
  driftPath,
  gaussian,
  kolmogorov,
  stretched,
  tracked,
  twoGaussians,
} from '../scenes/profiles.js';
import { makeStarImage, type StarImage } from '../scenes/star-image.js';
import { seeingImage, starField, type StarFieldOptions } from '../scenes/star-field.js';

const at = process.argv.indexOf('--seeds');
const seeds = at > 0 ? Number(process.argv[at + 1]) : 4;
const from = process.argv.indexOf('--from');
const firstSeed = from > 0 ? Number(process.argv[from + 1]) : 1;
const mosaic = { cell: ['R', 'G', 'G', 'B'], source: 'bench' } as const;
const seeing3 = seeingImage(3);

const cells: readonly (readonly [name: string, image: StarImage, options: StarFieldOptions])[] = [
  ['seeing 1.2 px', makeStarImage(kolmogorov(0.8), 12, 20), {}],
  ['seeing 1.6 px', makeStarImage(kolmogorov(1.4), 14, 20), {}],
  ['seeing 2.1 px', seeingImage(2), {}],
  ['seeing 3.1 px', seeing3, {}],
  ['seeing 5 px', seeingImage(5), {}],
  ['seeing 8 px', seeingImage(8), { count: 120 }],
  ['seeing 12 px', seeingImage(12), { count: 60 }],
  ['Gaussian 1.3 px', makeStarImage(gaussian(1), 8, 20), {}],
  ['Gaussian 3 px', makeStarImage(gaussian(3), 14, 10), {}],
  ['core and halo', makeStarImage(twoGaussians(3), 20, 10), {}],
  ['defocused disc 6 px', makeStarImage(convolved(gaussian(2), annulus(6, 0.3), 3.2, 0.4), 12, 8), {}],
  [
    'ring 30 px',
    makeStarImage(convolved(gaussian(3), annulus(30, 0.4), 15.5, 1), 24, 4),
    { count: 40, snr: [60, 800] },
  ],
  ['stretched 1.2', makeStarImage(stretched(kolmogorov(3), 1.2, 30), 24, 8), {}],
  ['stretched 3', makeStarImage(stretched(kolmogorov(3), 3, 75), 30, 8), {}],
  ['drift of 2 px', makeStarImage(tracked(kolmogorov(3), driftPath(2, 120)), 24, 8), {}],
  ['drift of 5 px', makeStarImage(tracked(kolmogorov(3), driftPath(5, 30)), 26, 8), {}],
  ['S/N 30 to 60', seeing3, { snr: [30, 60] }],
  ['8 stars', seeing3, { count: 8, snr: [40, 600] }],
  ['25 stars', seeing3, { count: 25, snr: [40, 600] }],
  ['2000 stars', seeing3, { count: 2000, snr: [10, 600] }],
  ['colour mosaic 3.1', seeing3, { mosaic }],
  ['colour mosaic 2.1', seeingImage(2), { mosaic }],
  ['8-bit, noise 1 ADU', seeing3, { electronsPerAdu: 25, fullScaleAdu: 255, offsetAdu: 5 }],
  ['12-bit, dark sky', seeing3, { sky: 40, electronsPerAdu: 4, fullScaleAdu: 4095, offsetAdu: 60 }],
  ['sky 40000 ADU', seeing3, { sky: 20000, electronsPerAdu: 0.5 }],
  ['gradient 50 %', seeing3, { sky: (x) => 500 * (0.75 + (0.5 * x) / 900) }],
  [
    'vignetting 60 %',
    seeing3,
    { vignetting: (x, y) => 1 - (0.6 * ((x - 450) ** 2 + (y - 350) ** 2)) / (450 ** 2 + 350 ** 2) },
  ],
  ['hot pixels 0.5 %', seeing3, { hotFraction: 0.005 }],
  ['cosmic rays', seeing3, { cosmicRays: 100 }],
  ['clipped stars', seeing3, { snr: [20, 30000] }],
  ['float pixels', seeing3, { asFloat: true }],
];

const percent = (value: number | null, truth: number): number =>
  value === null ? NaN : 100 * (value / truth - 1);
function show(values: readonly number[], digits: number): string {
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  const sd = Math.sqrt(values.reduce((a, b) => a + (b - mean) ** 2, 0) / Math.max(1, values.length - 1));
  return `${mean.toFixed(digits).padStart(7)} ${sd.toFixed(digits).padStart(6)}`;
}
const say = (text: string): void => void process.stdout.write(`${text}\n`);

say(`bias and scatter over ${seeds} seeds; widths in per cent, elongation and noise as they are`);
say(
  `${'cell'.padEnd(20)} | FWHM %          | half-flux %    | elongation     | angle deg      | noise %        | ms`,
);
const all: { fwhm: number[]; hfd: number[]; elongation: number[] } = { fwhm: [], hfd: [], elongation: [] };
const only = process.argv.indexOf('--only');
for (const [name, image, options] of cells) {
  if (only > 0 && !name.includes(process.argv[only + 1])) continue;
  const fwhm: number[] = [];
  const hfd: number[] = [];
  const elongation: number[] = [];
  const angle: number[] = [];
  const noise: number[] = [];
  let ms = 0;
  for (let seed = firstSeed; seed < firstSeed + seeds; seed += 1) {
    const { plane } = starField(image, { count: 250, width: 1200, height: 900, ...options, seed });
    const start = performance.now();
    const background = measureBackground(plane);
    const { table } = measureStars(plane, background, { electronsPerAdu: options.electronsPerAdu ?? 1 });
    const figures = summariseStars(table, plane.width, plane.height);
    ms += (performance.now() - start) / seeds;
    fwhm.push(percent(figures.fwhm.value, image.truth.fwhm));
    hfd.push(percent(figures.hfd.value, image.truth.hfd));
    // Elongation of a drift is that of the fit, not of the half-maximum contour: the truth says nothing about it.
    const isDrift = name.startsWith('drift');
    elongation.push((figures.elongation.value ?? NaN) - (isDrift ? 0 : image.truth.elongation));
    if (image.truth.elongation > 1.08) {
      const turn = (figures.trail.angleDeg ?? NaN) - image.truth.angleDeg;
      angle.push(((turn + 270) % 180) - 90);
    }
    if (typeof options.sky !== 'function' && !options.vignetting) {
      const gain = options.electronsPerAdu ?? 1;
      const truth = Math.sqrt(((options.sky ?? 500) + 25) / gain ** 2 + (options.asFloat ? 0 : 1 / 12));
      noise.push(percent(background.medianNoise, truth));
    }
  }
  all.fwhm.push(...fwhm.map(Math.abs));
  all.hfd.push(...hfd.map(Math.abs));
  if (!name.startsWith('drift')) all.elongation.push(...elongation.map(Math.abs));
  say(
    [
      name.padEnd(20),
      show(fwhm, 2).padEnd(15),
      show(hfd, 2),
      show(elongation, 3),
      angle.length > 0 ? show(angle, 2) : ' '.repeat(14),
      noise.length > 0 ? show(noise, 2) : ' '.repeat(14),
      ms.toFixed(0),
    ].join(' | '),
  );
}
const median = (values: readonly number[]): number => {
  const sorted = values.filter((v) => Number.isFinite(v)).sort((a, b) => a - b);
  return sorted[sorted.length >> 1] ?? NaN;
};
say(
  `median error over all: FWHM ${median(all.fwhm).toFixed(2)} %, half-flux diameter ${median(all.hfd).toFixed(2)} %, elongation ${median(all.elongation).toFixed(4)}`,
);
