import { saturationAdu } from './frame-header.js';
import type { FramePlan } from './plan-night.js';
import type { Scenario } from './scenario.js';
import { stepAdu } from './sensor.js';
import { skyMap } from './sky.js';
import { trueStarFigures } from './star-figures.js';
import type { StarFigures } from './star-figures.js';
import type { StarImage } from './star-image.js';
import { planStreaks } from './streaks.js';
import type { FrameTruth, PlantedCause } from './truth-types.js';

/** Truth of a frame before it is compared with the others of its night (transparency is absolute, weight and decision open). */
export type LoneFrameTruth = Omit<FrameTruth, 'weight' | 'expected'>;

const GRID = 5;
/** Places along each side at which the sky's true level is taken. */
const SKY_GRID = 24;

/** True stars at the grid's places; measured once where the optics and the mount treat the whole field alike. */
function starGrid(plan: FramePlan, star: StarImage): readonly StarFigures[] {
  const { optics } = plan;
  const uniform =
    [optics.tiltX, optics.tiltY, optics.tangentialMicron, optics.sagittalMicron].every((v) => v === 0) &&
    optics.comaMicron === 0 &&
    optics.rotationRad === 0;
  const stars: StarFigures[] = [];
  for (let j = 0; j < GRID; j++) {
    for (let i = 0; i < GRID; i++) {
      const x = 0.5 + ((i + 0.5) * optics.widthPx) / GRID;
      const y = 0.5 + ((j + 0.5) * optics.heightPx) / GRID;
      stars.push(uniform && stars.length > 0 ? { ...stars[0], x, y } : trueStarFigures(star, x, y));
    }
  }
  return stars;
}

/** True figures of a frame, from its noiseless star images and sky. */
export function frameTruth(scenario: Scenario, plan: FramePlan, star: StarImage): LoneFrameTruth {
  const stars = starGrid(plan, star);
  const fwhmPx = middle(stars.map((s) => s.fwhmPx));
  const hfdPx = middle(stars.map((s) => s.hfdPx));
  return {
    file: plan.file,
    dateObs: plan.start.toISOString(),
    filter: plan.filter.name,
    exposureSeconds: plan.exposureSeconds,
    airmass: plan.pointing.airmass,
    pierSide: plan.pierSide,
    fwhm: { px: fwhmPx, arcsec: fwhmPx * plan.arcsecPerPx },
    hfd: { px: hfdPx, arcsec: hfdPx * plan.arcsecPerPx },
    elongation: middle(stars.map((s) => s.elongation)),
    axisDeg: meanAxis(stars),
    stars,
    background: backgroundTruth(scenario, plan),
    skyLight: plan.skyLight,
    transparency: plan.transparency,
    focusMicron: plan.optics.focusMicron,
    focuserStep: plan.focuserStep,
    airTemperatureC: plan.airTemperatureC,
    spacingMm: plan.spacingMm,
    seeingArcsec: plan.seeingArcsec,
    tracking: trackingTruth(plan, star),
    pose: plan.pose,
    streaks: planStreaks(scenario, plan),
    planted: plantedCauses(scenario, plan),
  };
}

/** The faults at work in a frame, and the Moon or twilight where the scenario lets them shine. */
function plantedCauses(scenario: Scenario, plan: FramePlan): readonly PlantedCause[] {
  const planted = plan.faults.map(({ fault, strength }) => ({ code: causeOf(fault.kind), strength }));
  const brightened = scenario.sky.moonAndTwilight ? plan.skyLight.factor - 1 : 0;
  return brightened > 0.3 ? [...planted, { code: 'bright-sky', strength: Math.min(1, brightened) }] : planted;
}

/** Name that the diagnosis uses for a kind of fault. */
export function causeOf(kind: string): string {
  if (kind === 'guiding') return 'guiding-trail';
  if (kind === 'wind') return 'wind-shake';
  return kind;
}

function backgroundTruth(scenario: Scenario, plan: FramePlan): FrameTruth['background'] {
  const { camera } = scenario;
  const sky = skyMap(scenario, plan);
  const dark = camera.darkElectronsPerSecond * plan.exposureSeconds;
  // On a mosaic the figures are those of the green sites, whose response is 1.
  const levels: number[] = [];
  // On a symmetric grid the plane's two slopes are independent of the mean, of each other and of a round fall-off.
  let slopeX = 0;
  let slopeY = 0;
  let squares = 0;
  for (let j = 0; j < SKY_GRID; j++) {
    const v = (2 * j + 1) / SKY_GRID - 1;
    for (let i = 0; i < SKY_GRID; i++) {
      const u = (2 * i + 1) / SKY_GRID - 1;
      const x = (camera.widthPx + 1 + u * camera.widthPx) / 2;
      const y = (camera.heightPx + 1 + v * camera.heightPx) / 2;
      const light = sky(x, y) + dark;
      levels.push(light);
      slopeX += u * light;
      slopeY += v * light;
      squares += u * u;
    }
  }
  const electrons = middle(levels);
  const level = Math.min(saturationAdu(scenario), electrons / camera.electronsPerAdu + camera.pedestalAdu);
  const read = camera.readNoiseElectrons ** 2 + camera.bandingElectrons ** 2;
  const noise = Math.sqrt((electrons + read) / camera.electronsPerAdu ** 2 + stepAdu(scenario) ** 2 / 12);
  const range = (2 * (Math.abs(slopeX) + Math.abs(slopeY))) / squares / camera.electronsPerAdu;
  const direction = Math.atan2(slopeY / camera.heightPx, slopeX / camera.widthPx);
  return {
    level,
    noise,
    gradientPercent: (100 * range) / level,
    gradientDirectionDeg: ((direction * 180) / Math.PI + 360) % 360,
    vignettingPercent: scenario.telescope.vignettingPercent,
  };
}

function trackingTruth(plan: FramePlan, star: StarImage): FrameTruth['tracking'] {
  const { rays } = star;
  let xx = 0;
  let xy = 0;
  let yy = 0;
  for (let i = 0; i < rays.count; i++) {
    xx += rays.trackX[i] ** 2 / rays.count;
    xy += (rays.trackX[i] * rays.trackY[i]) / rays.count;
    yy += rays.trackY[i] ** 2 / rays.count;
  }
  return {
    xx,
    xy,
    yy,
    rmsAlongArcsec: Math.sqrt(Math.hypot(xx - yy, 2 * xy)) * plan.arcsecPerPx,
    axisDeg: (((Math.atan2(2 * xy, xx - yy) / 2) * 180) / Math.PI + 180) % 180,
    rotationDeg: (plan.optics.rotationRad * 180) / Math.PI,
  };
}

/** Axis of the mean of the stars' shapes, degrees in [0, 180). */
function meanAxis(stars: readonly StarFigures[]): number {
  let e1 = 0;
  let e2 = 0;
  for (const { elongation, angleDeg } of stars) {
    const e = (elongation ** 2 - 1) / (elongation ** 2 + 1);
    e1 += e * Math.cos((2 * angleDeg * Math.PI) / 180);
    e2 += e * Math.sin((2 * angleDeg * Math.PI) / 180);
  }
  return (((Math.atan2(e2, e1) / 2) * 180) / Math.PI + 180) % 180;
}

function middle(values: readonly number[]): number {
  const sorted = [...values].sort((a, b) => a - b);
  const half = sorted.length >> 1;
  return sorted.length % 2 ? sorted[half] : (sorted[half - 1] + sorted[half]) / 2;
}
