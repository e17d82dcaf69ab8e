import { jointEndText } from '../../optics/train/index.js';
import type { SpacerPlan } from '../../optics/train/index.js';
import { version } from '../../package-root.js';
import type { TrainReport } from './train-text.js';

/** The train as a document of schema `starassay/train@1`: lengths in mm, errors positive when the sensor sits too far away. */
export function trainJson(report: TrainReport): unknown {
  const { train, sum, vignetting, warnings, advice } = report;
  return {
    schema: 'starassay/train@1',
    version,
    name: train.name,
    totalMm: sum.totalMm,
    requiredMm: sum.requiredMm,
    glassShiftMm: sum.glassShiftMm,
    wantedMm: sum.wantedMm,
    errorMm: sum.errorMm,
    toleranceMm: sum.toleranceMm,
    verdict: sum.verdict,
    parts: sum.parts.map(({ part, frontToSensorMm, rearToSensorMm }) => ({
      name: part.name,
      kind: part.kind,
      lengthMm: part.lengthMm,
      frontToSensorMm,
      rearToSensorMm,
      front: part.front ? jointEndText(part.front) : null,
      rear: part.rear ? jointEndText(part.rear) : null,
    })),
    joints: sum.joints.map(({ between, toSensorMm, verdict }) => ({ between, toSensorMm, ...verdict })),
    openings: vignetting.openings,
    warnings,
    advice: {
      basis: advice.basis,
      errorMm: advice.errorMm,
      plans: advice.plans.map(plainPlan),
      nearest: advice.nearest ? plainPlan(advice.nearest) : null,
    },
  };
}

function plainPlan(plan: SpacerPlan): unknown {
  return {
    between: plan.between,
    takeOut: plan.takeOut.map((part) => part.name),
    pieces: plan.choice.pieces.map(({ part, reversed, lengthMm }) => ({
      name: part.name,
      lengthMm,
      reversed,
    })),
    joints: plan.choice.joints,
    clampedJoints: plan.choice.clamped,
    shims: plan.choice.shims,
    leavesMm: plan.errorMm,
    jointsChecked: !plan.choice.unchecked,
  };
}
