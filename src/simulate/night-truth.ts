import { causeOf } from './frame-truth.js';
import { focalFactorAt } from './plan-night.js';
import type { Scenario } from './scenario.js';
import type { FrameTruth, NightTruth } from './truth-types.js';

/** Effects under these are planted but not plain enough for a diagnosis to be held to them. */
const PLAIN_ENOUGH: Readonly<Record<string, number>> = {
  'focus-drift': 0.03,
  'focus-offset': 0.03,
  'sensor-tilt': 0.03,
  'spacing-short': 0.03,
  'spacing-long': 0.03,
  'decentred-optics': 0.03,
  'guiding-trail': 0.06,
  'wind-shake': 0.06,
  'field-rotation': 0.08,
  cloud: 0.08,
  dew: 0.08,
  'bright-sky': 0.2,
  streak: 0,
  seeing: 0.08,
};

interface Effect {
  readonly code: string;
  readonly frames: readonly string[];
  readonly effect: number;
}

/** Put the truth of a night together, with the causes a diagnosis is expected to find. */
export function nightTruth(scenario: Scenario, frames: readonly FrameTruth[]): NightTruth {
  const { camera, telescope, optics } = scenario;
  const pitchMicron = camera.pixelMicron * camera.binning;
  const medial = optics.spacing.errorMm * optics.spacing.curvatureMicronPerMm;
  const span = optics.tilt.spanMicron;
  const angle = (optics.tilt.directionDeg * Math.PI) / 180;
  const acrossMm =
    ((camera.widthPx * Math.abs(Math.cos(angle)) + camera.heightPx * Math.abs(Math.sin(angle))) *
      pitchMicron) /
    1000;
  const effects = plantedEffects(scenario, frames);
  const wanted = scenario.expectedCauses;
  const expected = wanted
    ? wanted.map((code) => effects.find((e) => e.code === code) ?? { code, frames: [], effect: 0 })
    : effects.filter(({ code, effect }) => effect >= PLAIN_ENOUGH[code]).sort((a, b) => b.effect - a.effect);
  return {
    schema: 'starassay/truth@1',
    scenario: scenario.name,
    description: scenario.description,
    seed: scenario.seed,
    severity: scenario.severity ?? null,
    rig: {
      arcsecPerPx: (206.264806 * pitchMicron) / telescope.focalLengthMm,
      focalRatio: telescope.focalLengthMm / telescope.apertureMm,
      pitchMicron,
      widthPx: camera.widthPx,
      heightPx: camera.heightPx,
      micronPerStep: telescope.focuserMicronPerStep,
      focuserBestStep: telescope.focuserBestStep,
      raAxisDeg: ((camera.angleDeg % 180) + 180) % 180,
    },
    night: {
      tilt: {
        directionDeg: ((optics.tilt.directionDeg % 360) + 360) % 360,
        spanMicron: span,
        angleArcmin: (Math.atan(span / 1000 / acrossMm) * 180 * 60) / Math.PI,
        follows: optics.tilt.follows,
      },
      curvature: { cornerMicron: optics.curvatureMicron + medial },
      astigmatism: { cornerMicron: optics.astigmatismMicron + medial / 2 },
      coma: optics.coma,
      spacing: optics.spacing,
      rungs: (scenario.ladder?.spacingsMm ?? []).map((spacingMm) => {
        const errorMm = spacingMm - optics.spacing.nominalMm;
        const rungMedial = errorMm * optics.spacing.curvatureMicronPerMm;
        return {
          spacingMm,
          curvatureMicron: optics.curvatureMicron + rungMedial,
          astigmatismMicron: optics.astigmatismMicron + rungMedial / 2,
          arcsecPerPx:
            (206.264806 * pitchMicron) / (telescope.focalLengthMm * focalFactorAt(scenario, errorMm)),
        };
      }),
      focusMicronPerKelvin: scenario.focus.micronPerKelvin,
      expectedCauses: expected,
      dominant: expected[0]?.code ?? null,
    },
    frames,
  };
}

function plantedEffects(scenario: Scenario, frames: readonly FrameTruth[]): readonly Effect[] {
  const { telescope, camera, optics } = scenario;
  const perMicron = telescope.apertureMm / (telescope.focalLengthMm * camera.pixelMicron * camera.binning);
  const arcsecPerPx = (206.264806 * camera.pixelMicron * camera.binning) / telescope.focalLengthMm;
  const seeing = frames.map((f) => f.seeingArcsec / arcsecPerPx).sort((a, b) => a - b)[frames.length >> 1];
  // Variance of an ordinary star with its pixel, and what a blur of given per-axis variance adds to its width, relative.
  const base = seeing ** 2 / 5.545 + 1 / 12;
  const growth = (variance: number): number => Math.sqrt(1 + variance / base) - 1;
  const defocus = (micron: number): number => growth((micron * perMicron) ** 2 / 16);
  const all = frames.map((f) => f.file);
  const effects: Effect[] = [];

  // A focus that moved away while nobody touched the focuser: what a refocusing leaves over is no drift.
  const drifting = frames.filter((f) => !f.planted.some((p) => p.code === 'focus-offset'));
  if (!scenario.sweep && scenario.filters.every((f) => f.focusMicron === 0) && drifting.length > 1) {
    const soft = drifting.filter((f) => defocus(f.focusMicron) >= PLAIN_ENOUGH['focus-drift']);
    const travel = Math.max(...focusRuns(drifting).map(range));
    const farthest = Math.max(...drifting.map((f) => Math.abs(f.focusMicron)));
    effects.push({
      code: 'focus-drift',
      frames: soft.map((f) => f.file),
      effect: defocus(Math.min(farthest, travel)),
    });
  }
  const shifted = new Set(scenario.filters.filter((f) => f.focusMicron !== 0).map((f) => f.name));
  const offset = frames.filter(
    (f) => shifted.has(f.filter) || f.planted.some((p) => p.code === 'focus-offset'),
  );
  const start = scenario.focus.startMicron;
  const wholeNight = !scenario.sweep && defocus(start) >= PLAIN_ENOUGH['focus-offset'];
  if (wholeNight || (offset.length > 0 && !scenario.sweep)) {
    const worst = Math.max(...(wholeNight ? frames : offset).map((f) => Math.abs(f.focusMicron)));
    effects.push({
      code: 'focus-offset',
      frames: wholeNight ? all : offset.map((f) => f.file),
      effect: defocus(worst),
    });
  }

  effects.push({ code: 'sensor-tilt', frames: all, effect: defocus(optics.tilt.spanMicron / 2) });
  const medial = optics.spacing.errorMm * optics.spacing.curvatureMicronPerMm;
  if (optics.spacing.errorMm !== 0) {
    const code = optics.spacing.errorMm < 0 ? 'spacing-short' : 'spacing-long';
    effects.push({ code, frames: all, effect: defocus(medial) });
  }
  const comaPx = optics.coma.cornerMicron / (camera.pixelMicron * camera.binning);
  const off = Math.hypot(optics.coma.centreX, optics.coma.centreY);
  // Variance of third-order coma over a full pupil: (flare/3)^2 (2/3) per axis, from the centre's shift.
  effects.push({ code: 'decentred-optics', frames: all, effect: growth((2 / 27) * (comaPx * off) ** 2) });

  const inFrames = (kind: string): readonly FrameTruth[] =>
    frames.filter((f) => f.planted.some((p) => p.code === causeOf(kind)));
  const add = (kind: string, effectOf: (frame: FrameTruth) => number): void => {
    const concerned = inFrames(kind);
    if (concerned.length === 0) return;
    const code = causeOf(kind);
    const felt = concerned.map((f) => ({ file: f.file, effect: effectOf(f) }));
    effects.push({
      code,
      frames: felt.filter(({ effect }) => effect >= PLAIN_ENOUGH[code]).map(({ file }) => file),
      effect: Math.max(...felt.map(({ effect }) => effect)),
    });
  };
  const shake = (f: FrameTruth): number =>
    Math.max(f.elongation - 1, growth((f.tracking.xx + f.tracking.yy) / 2));
  add('guiding', shake);
  add('wind', shake);
  add('field-rotation', (f) => Math.max(...f.stars.map(({ elongation }) => elongation)) - 1);
  add('cloud', (f) => 1 - f.transparency);
  add('dew', (f) => 1 - f.transparency);
  const quietest = Math.min(...frames.map((f) => f.background.noise));
  const natural = scenario.sky.moonAndTwilight;
  add(
    'bright-sky',
    (f) => Math.max(f.background.noise / quietest, natural ? Math.sqrt(f.skyLight.factor) : 0) - 1,
  );
  add('streak', () => 0.01);
  const calm = Math.min(...frames.map((f) => f.seeingArcsec));
  add('seeing', (f) => f.seeingArcsec / calm - 1);
  return effects;
}

/** Focus of each run of frames between two moves of the focuser, micrometres. */
function focusRuns(frames: readonly FrameTruth[]): readonly (readonly number[])[] {
  const runs: number[][] = [];
  frames.forEach((frame, i) => {
    if (i === 0 || frame.focuserStep !== frames[i - 1].focuserStep) runs.push([]);
    runs[runs.length - 1].push(frame.focusMicron);
  });
  return runs;
}

function range(values: readonly number[]): number {
  return Math.max(...values) - Math.min(...values);
}
