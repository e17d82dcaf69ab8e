import { focusSeries } from './focus-series.js';
import type { OpticalState } from './optical-state.js';
import { pointingAt } from './pointing.js';
import type { Pointing } from './pointing.js';
import { makeRandom } from './random.js';
import type { TrackingPath } from './rays.js';
import { skyLightAt } from './sky-light.js';
import type { SkyLight } from './sky-light.js';
import { faultStrength } from './scenario-faults.js';
import type { Scenario } from './scenario.js';
import { trackingPath } from './tracking-path.js';
import type { ActiveFault } from './tracking-path.js';

/** How the star field lies on a frame: turned about the sensor's centre, then shifted, pixels. */
export interface FramePose {
  readonly shiftX: number;
  readonly shiftY: number;
  /** Size of the image relative to the nominal plate scale. */
  readonly scale: number;
  readonly rotationDeg: number;
  readonly flipped: boolean;
}

/** Everything that decides one frame, before photons are thrown. */
export interface FramePlan {
  /** 1-based. */
  readonly number: number;
  /** Name relative to the output folder. */
  readonly file: string;
  readonly start: Date;
  readonly exposureSeconds: number;
  readonly filter: Scenario['filters'][number];
  readonly pointing: Pointing;
  readonly skyLight: SkyLight;
  readonly pierSide: 'east' | 'west';
  readonly pose: FramePose;
  readonly optics: OpticalState;
  readonly spacingMm: number | null;
  readonly airTemperatureC: number;
  readonly focuserStep: number;
  readonly arcsecPerPx: number;
  readonly seeingArcsec: number;
  readonly haloShare: number;
  readonly haloWidth: number;
  readonly path: TrackingPath;
  /** Share of the light above the air that arrives: extinction, cloud and dew, filter left out. */
  readonly transparency: number;
  readonly cloudLoss: number;
  readonly cloudPatchiness: number;
  /** Sky and nebula level without vignetting, electrons per pixel and exposure. */
  readonly skyElectrons: number;
  readonly skyGradientPercent: number;
  readonly skyGradientDirectionDeg: number;
  readonly faults: readonly ActiveFault[];
}

/** The whole night as plans, one a frame; deterministic by the scenario's seed. */
export function planNight(scenario: Scenario): readonly FramePlan[] {
  if (!scenario.ladder) return planRung(scenario, null, scenario.optics.spacing.errorMm);
  const { nominalMm } = scenario.optics.spacing;
  return scenario.ladder.spacingsMm.flatMap((mm) => planRung(scenario, mm, mm - nominalMm));
}

function planRung(
  scenario: Scenario,
  spacingMm: number | null,
  spacingErrorMm: number,
): readonly FramePlan[] {
  const { night, camera, telescope, filters, sweep } = scenario;
  const count = scenario.frames;
  const random = makeRandom(scenario.seed, 'night', spacingMm ?? '');
  const starts = frameStarts(scenario);
  const chosen = starts.map((_, i) =>
    scenario.filterOrder === 'cycle'
      ? filters[i % filters.length]
      : filters[Math.min(filters.length - 1, Math.floor((i * filters.length) / count))],
  );
  const commanded = sweep
    ? starts.map((_, i) => sweep.centreMicron + sweep.rangeMicron * (count > 1 ? i / (count - 1) - 0.5 : 0))
    : null;
  const focus = focusSeries(
    scenario,
    starts.map((start) => (start.getTime() - starts[0].getTime()) / 3_600_000),
    chosen.map((filter) => filter.focusMicron),
    commanded,
    makeRandom(scenario.seed, 'focus', spacingMm ?? ''),
  );
  const focalFactor = focalFactorAt(scenario, spacingErrorMm);
  const arcsecPerPx =
    (206.264806 * camera.pixelMicron * camera.binning) / (telescope.focalLengthMm * focalFactor);
  const creep = (night.creepDirectionDeg * Math.PI) / 180;
  let seeingLog = 0;
  let firstAirmass = Number.NaN;
  return starts.map((start, i) => {
    const number = i + 1;
    const own = makeRandom(scenario.seed, 'frame', spacingMm ?? '', number);
    const faults = scenario.faults
      .map((fault) => ({ fault, strength: faultStrength(fault, number, count) }))
      .filter(({ strength }) => strength > 0) as ActiveFault[];
    const middle = new Date(start.getTime() + night.exposureSeconds * 500);
    const { site, target } = scenario;
    const pointing = pointingAt(middle, target.raDeg, target.decDeg, site.latitudeDeg, site.longitudeDeg);
    const skyLight = skyLightAt(scenario, middle, pointing.altitudeDeg, pointing.azimuthDeg);
    if (i === 0) firstAirmass = pointing.airmass;
    const flipped = night.flipBefore !== null && number >= night.flipBefore;

    seeingLog =
      scenario.seeing.memory * seeingLog + Math.sqrt(1 - scenario.seeing.memory ** 2) * random.normal();
    let seeingArcsec =
      scenario.seeing.arcsec * Math.exp(scenario.seeing.spread * seeingLog) * chosen[i].seeingFactor;
    if (scenario.seeing.followsAirmass) seeingArcsec *= (pointing.airmass / firstAirmass) ** 0.6;

    let focusMicron = focus[i].focusMicron;
    let cloudLoss = 0;
    let cloudPatchiness = 0;
    let dewLoss = 0;
    let haloShare = 0;
    let haloWidth = 8;
    let skyFactor = chosen[i].skyFactor * Math.exp(scenario.sky.spread * random.normal());
    let gradient = { percent: scenario.sky.gradientPercent, deg: scenario.sky.gradientDirectionDeg };
    if (scenario.sky.moonAndTwilight) skyFactor *= skyLight.factor;
    let rotationRad = 0;
    let rotationCentre: readonly [number, number] = [0, 0];
    for (const { fault, strength } of faults) {
      if (fault.kind === 'focus-offset') focusMicron += fault.micron * strength;
      else if (fault.kind === 'seeing') seeingArcsec *= 1 + (fault.factor - 1) * strength;
      else if (fault.kind === 'cloud') {
        cloudLoss = 1 - (1 - cloudLoss) * (1 - (1 - fault.transparency) * strength);
        cloudPatchiness = fault.patchiness;
        skyFactor *= 1 + fault.glow * cloudLoss;
      } else if (fault.kind === 'dew') {
        dewLoss = fault.loss * strength;
        haloShare = fault.halo * strength;
        haloWidth = fault.haloWidth;
      } else if (fault.kind === 'bright-sky') {
        skyFactor *= 1 + (fault.factor - 1) * strength;
        gradient = { percent: fault.gradientPercent, deg: fault.gradientDirectionDeg };
      } else if (fault.kind === 'field-rotation') {
        rotationRad += (((fault.degreesPerHour * Math.PI) / 180) * night.exposureSeconds * strength) / 3600;
        rotationCentre = [fault.centreX, fault.centreY];
      }
    }
    const extinction = 10 ** (-0.4 * scenario.sky.extinctionMagPerAirmass * pointing.airmass);
    const rotationDeg = (flipped ? 180 : 0) + night.rotationPerFrameDeg * i;
    const tracking = scenario.tracking;
    return {
      number,
      file: fileName(scenario, chosen[i].name, number, spacingMm),
      start,
      exposureSeconds: night.exposureSeconds,
      filter: chosen[i],
      pointing,
      skyLight,
      pierSide: flipped ? 'west' : 'east',
      pose: {
        shiftX: night.ditherPx * random.normal() + night.creepPxPerFrame * i * Math.cos(creep),
        shiftY: night.ditherPx * random.normal() + night.creepPxPerFrame * i * Math.sin(creep),
        scale: focalFactor,
        rotationDeg,
        flipped,
      },
      optics: opticalState(
        scenario,
        focusMicron,
        spacingErrorMm,
        focalFactor,
        flipped,
        rotationRad,
        rotationCentre,
      ),
      spacingMm,
      airTemperatureC: focus[i].airTemperatureC,
      focuserStep: focus[i].focuserStep,
      arcsecPerPx,
      seeingArcsec,
      haloShare,
      haloWidth,
      path: trackingPath(
        {
          raArcsec: tracking.jitterRaArcsec * Math.exp(tracking.spread * random.normal()),
          decArcsec: tracking.jitterDecArcsec * Math.exp(tracking.spread * random.normal()),
        },
        faults,
        (start.getTime() - starts[0].getTime()) / 1000,
        night.exposureSeconds,
        arcsecPerPx,
        camera.angleDeg + rotationDeg,
        own,
      ),
      transparency: extinction * (1 - cloudLoss) * (1 - dewLoss),
      cloudLoss,
      cloudPatchiness,
      skyElectrons: scenario.sky.electronsPerSecond * night.exposureSeconds * skyFactor * camera.binning ** 2,
      skyGradientPercent: gradient.percent,
      skyGradientDirectionDeg: gradient.deg,
      faults,
    };
  });
}

/** Focal length at a spacing error relative to the nominal one: a reducer works by 1 - distance / its focal length. */
export function focalFactorAt(scenario: Scenario, spacingErrorMm: number): number {
  const { nominalMm, reducerFocalLengthMm } = scenario.optics.spacing;
  if (reducerFocalLengthMm === null) return 1;
  return (1 - (nominalMm + spacingErrorMm) / reducerFocalLengthMm) / (1 - nominalMm / reducerFocalLengthMm);
}

function frameStarts(scenario: Scenario): readonly Date[] {
  const { night } = scenario;
  const starts: Date[] = [];
  let moment = new Date(night.start).getTime();
  for (let number = 1; number <= scenario.frames; number++) {
    for (const pause of night.pauses) if (pause.beforeFrame === number) moment += pause.minutes * 60_000;
    starts.push(new Date(moment));
    moment += (night.exposureSeconds + night.gapSeconds) * 1000;
  }
  return starts;
}

function opticalState(
  scenario: Scenario,
  focusMicron: number,
  spacingErrorMm: number,
  focalFactor: number,
  flipped: boolean,
  rotationRad: number,
  rotationCentre: readonly [number, number],
): OpticalState {
  const { camera, telescope, optics } = scenario;
  const { widthPx, heightPx } = camera;
  const halfDiagonal = Math.hypot(widthPx, heightPx) / 2;
  const turned = optics.tilt.follows === 'gravity' && flipped ? 180 : 0;
  const angle = ((optics.tilt.directionDeg + turned) * Math.PI) / 180;
  const slope =
    (optics.tilt.spanMicron * halfDiagonal) /
    (widthPx * Math.abs(Math.cos(angle)) + heightPx * Math.abs(Math.sin(angle)));
  // A spacing error moves the tangential surface three times as far as the sagittal one: medial 2 parts, astigmatism 1 part.
  const medial = spacingErrorMm * optics.spacing.curvatureMicronPerMm;
  return {
    widthPx,
    heightPx,
    pitchMicron: camera.pixelMicron * camera.binning,
    focalRatio: (telescope.focalLengthMm * focalFactor) / telescope.apertureMm,
    obstruction: telescope.obstruction,
    focusMicron,
    tiltX: slope * Math.cos(angle),
    tiltY: slope * Math.sin(angle),
    tangentialMicron: optics.curvatureMicron + optics.astigmatismMicron + 1.5 * medial,
    sagittalMicron: optics.curvatureMicron - optics.astigmatismMicron + 0.5 * medial,
    comaMicron: optics.coma.cornerMicron,
    comaCentreX: optics.coma.centreX,
    comaCentreY: optics.coma.centreY,
    rotationRad,
    rotationCentreX: (widthPx + 1) / 2 + rotationCentre[0] * halfDiagonal,
    rotationCentreY: (heightPx + 1) / 2 + rotationCentre[1] * halfDiagonal,
  };
}

function fileName(scenario: Scenario, filter: string, number: number, spacingMm: number | null): string {
  const target = scenario.target.name.toLowerCase().replaceAll(/[^a-z0-9]+/g, '-');
  const safeFilter = filter.replaceAll(/[^A-Za-z0-9]+/g, '');
  const name = `${target}_${safeFilter}_${scenario.night.exposureSeconds}s_${String(number).padStart(3, '0')}.fits`;
  return spacingMm === null ? name : `spacing-${spacingMm.toFixed(2)}/${name}`;
}
