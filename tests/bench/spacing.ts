// Accuracy of sweep and ladder, from the pixels on: `npm run bench:spacing`. Frames are drawn by the simulator (rays through the pupil,
// Kolmogorov seeing that changes by 20 % from frame to frame, photon and read noise), measured and assessed; nothing is tuned to a seed.
// Options: --first N --last N (seeds, default 1 to 40), --traced (stars without pixel noise, quicker), --ladder or --sweep (one part only).
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { assessFrame } from '../../src/field/frame/index.js';
import { defaultFrameOptions, type FrameAssessment } from '../../src/field/index.js';
import { assessLadder } from '../../src/night/ladder/index.js';
import { assessSweep, defaultSweepOptions } from '../../src/night/sweep/index.js';
import { parseScenario, simulateNight, type ScenarioInput } from '../../src/simulate/index.js';
import { tracedFrames } from '../night/sweep/traced-sweep.js';

const args = process.argv.slice(2);
const numberAfter = (flag: string, otherwise: number): number =>
  args.includes(flag) ? Number(args[args.indexOf(flag) + 1]) : otherwise;
const first = numberAfter('--first', 1);
const last = numberAfter('--last', 40);
const seedCount = last - first + 1;
const traced = args.includes('--traced');
const folder = mkdtempSync(join(tmpdir(), 'spacing-bench-'));

/** Spread settings over seeds without pattern: golden-ratio sequence. */
const spread = (seed: number, k: number): number => (seed * 0.6180339887 + k * 0.7548776662) % 1;

async function framesOf(input: ScenarioInput): Promise<FrameAssessment[]> {
  if (traced) return tracedFrames(input, { columns: 7, rows: 5, noise: 0.03 });
  const frames: FrameAssessment[] = [];
  for (const { file, bytes } of simulateNight(parseScenario(input, 'bench'))) {
    const path = join(folder, basename(file));
    writeFileSync(path, bytes);
    const measured = await assessFrame({ path, file, options: { ...defaultFrameOptions, starShapes: true } });
    if (measured.outcome === 'assessed') frames.push(measured.frame);
  }
  return frames;
}

const rig = (seed: number): ScenarioInput => ({
  name: 'bench',
  seed,
  frames: 7,
  camera: { widthPx: 900, heightPx: 640 },
  stars: { count: 170, faintest: 25 },
  seeing: { arcsec: 1.5 + 2.5 * spread(seed, 1), spread: 0.2, memory: 0.3 },
});
/** A sweep wide enough for the seeing: two to three times the best width at its ends, as the help asks for. */
const rangeMicron = (seed: number, extra: number): number => 260 + 60 * (1.5 + 2.5 * spread(seed, 1)) + extra;

function row(cells: readonly (string | number)[]): void {
  console.log(cells.map((cell) => (typeof cell === 'number' ? cell.toFixed(3) : cell).padStart(9)).join(' '));
}

const rmsOf = (values: readonly number[]): number =>
  Math.sqrt(values.reduce((sum, value) => sum + value * value, 0) / values.length);

async function sweeps(): Promise<void> {
  console.log('sweeps: planted and found, micrometres');
  row(['seed', 'seeing', 'tilt', 'found', '+-', 'curv', 'found', '+-', 'astig', 'found', 'verdict']);
  let [tiltGood, curvatureGood] = [0, 0];
  const pulls: number[] = [];
  for (let seed = first; seed <= last; seed += 1) {
    const tilt = 90 * spread(seed, 2);
    const curvature = 160 * (spread(seed, 3) - 0.5);
    const astigmatism = 60 * (spread(seed, 4) - 0.5);
    const sweep = assessSweep(
      await framesOf({
        ...rig(seed),
        sweep: { rangeMicron: rangeMicron(seed, 1.5 * Math.abs(curvature)) },
        optics: {
          tilt: { spanMicron: tilt, directionDeg: 360 * spread(seed, 5) },
          curvatureMicron: curvature,
          astigmatismMicron: astigmatism,
        },
      }),
      defaultSweepOptions,
    );
    const tiltOff = Math.abs(sweep.tilt.spanMicron - tilt);
    const curvatureOff = Math.abs(sweep.curvature.cornerMicron - curvature);
    const good = [
      tiltOff <= Math.max(2, 0.05 * tilt),
      curvatureOff <= Math.max(3, 0.05 * Math.abs(curvature)),
    ];
    if (good[0]) tiltGood += 1;
    if (good[1]) curvatureGood += 1;
    pulls.push((sweep.curvature.cornerMicron - curvature) / sweep.curvature.errorMicron);
    row([
      String(seed),
      1.5 + 2.5 * spread(seed, 1),
      tilt,
      sweep.tilt.spanMicron,
      sweep.tilt.spanErrorMicron,
      curvature,
      sweep.curvature.cornerMicron,
      sweep.curvature.errorMicron,
      astigmatism,
      sweep.astigmatism.cornerMicron,
      good.every(Boolean) ? 'good' : good[0] ? 'CURVATURE' : good[1] ? 'TILT' : 'BOTH',
    ]);
  }
  console.log(
    `tilt within 5 % or 2 um: ${tiltGood} of ${seedCount}; curvature within 5 % or 3 um: ${curvatureGood} of ${seedCount}; curvature off by ${rmsOf(pulls).toFixed(2)} of its stated errors (rms)`,
  );
}

async function ladders(): Promise<void> {
  console.log('ladders: best spacing, mm');
  row(['seed', 'seeing', 'um/mm', 'found', 'best', 'found', '+-', 'off']);
  let [within, covered] = [0, 0];
  const pulls: number[] = [];
  for (let seed = first; seed <= last; seed += 1) {
    const nominalMm = 54.5 + spread(seed, 6);
    const perMm = (spread(seed, 7) < 0.5 ? -1 : 1) * (35 + 50 * spread(seed, 8));
    const rungs = [];
    for (const spacingMm of [54, 55, 56]) {
      const frames = await framesOf({
        ...rig(seed * 100 + Math.round(spacingMm)),
        seeing: { ...rig(seed).seeing },
        sweep: { rangeMicron: rangeMicron(seed, 100) },
        optics: {
          tilt: { spanMicron: 25, directionDeg: 360 * spread(seed, 5) },
          astigmatismMicron: 30 * (spread(seed, 4) - 0.5),
          spacing: { errorMm: spacingMm - nominalMm, curvatureMicronPerMm: perMm },
        },
      });
      rungs.push({ spacingMm, frames });
    }
    const ladder = assessLadder(rungs, defaultSweepOptions, {
      reducerFocalMm: null,
      bareFocalMm: null,
      predictAtMm: [],
    });
    const off = (ladder.bestSpacingMm ?? NaN) - nominalMm;
    if (Math.abs(off) <= 0.1) within += 1;
    if (Math.abs(off) <= 2 * (ladder.uncertaintyMm ?? 0)) covered += 1;
    pulls.push(off / (ladder.uncertaintyMm ?? NaN));
    row([
      String(seed),
      1.5 + 2.5 * spread(seed, 1),
      perMm,
      ladder.sensitivityMicronPerMm ?? NaN,
      nominalMm,
      ladder.bestSpacingMm ?? NaN,
      ladder.uncertaintyMm ?? NaN,
      off,
    ]);
  }
  console.log(
    `best spacing within 0.1 mm: ${within} of ${seedCount}; within two stated errors: ${covered} of ${seedCount}; off by ${rmsOf(pulls).toFixed(2)} of its stated errors (rms)`,
  );
}

try {
  if (!args.includes('--ladder')) await sweeps();
  if (!args.includes('--sweep')) await ladders();
} finally {
  rmSync(folder, { recursive: true, force: true });
}
