import type { Train } from './train-file.js';
import { sumTrain } from './train-sum.js';
import { isOutsideCatalogue } from './train-threads.js';
import { checkVignetting } from './train-vignetting.js';

/** Something about a train that is worth a look before the next night. */
export interface TrainWarning {
  readonly code:
    | 'joint'
    | 'draw-tube-far-out'
    | 'clamped-in-a-row'
    | 'load-on-clamp'
    | 'vignetting'
    | 'spacing'
    | 'not-checked';
  readonly severity: 'fault' | 'caution' | 'note';
  readonly message: string;
}

// Limits of the trade (common practice, no source).
/** A draw tube sags when more than this part of its travel is out. */
const DRAW_TUBE_SHARE = 0.5;
/** Clamped joints that may follow each other. */
const CLAMPED_IN_A_ROW = 1;
/** Bending moment on a clamped joint that starts to tilt it, newton metres: 1 kg held 10 cm out. */
const CLAMP_MOMENT_NM = 1;
/** Less light than this in the corner is worth a word. */
const CORNER_LIGHT = 0.95;

/**
 * Look a train over: joints that do not fit, draw tubes far out, clamped joints in a row, heavy loads on clamps, cut light, wrong length.
 *
 * Masses come from `massGram`; parts without one count as nothing, and the answer says so when a clamp could not be judged.
 */
export function checkTrain(train: Train): TrainWarning[] {
  const sum = sumTrain(train);
  const warnings: TrainWarning[] = [];
  const add = (code: TrainWarning['code'], severity: TrainWarning['severity'], message: string): void => {
    warnings.push({ code, severity, message });
  };

  if (sum.verdict !== 'within-tolerance') {
    add(
      'spacing',
      'caution',
      `the sensor sits ${Math.abs(sum.errorMm).toFixed(2)} mm too ${sum.verdict === 'short' ? 'close' : 'far'} by the arithmetic (tolerance ${sum.toleranceMm} mm)`,
    );
  }
  for (const joint of sum.joints) {
    if (joint.verdict.fits === 'no')
      add('joint', 'fault', `${joint.between.join(' to ')}: ${joint.verdict.why}`);
  }
  const unknown = sum.joints.filter((joint) => joint.verdict.fits === 'unknown').length;
  if (unknown > 0) {
    add(
      'not-checked',
      'note',
      `${unknown} of ${sum.joints.length} joints are not given in the file and were not checked`,
    );
  }

  for (const name of strangeThreads(train)) {
    add(
      'not-checked',
      'note',
      `${name} is not in the list of threads (starassay train --threads): right if a maker says so, else a slip of the pen`,
    );
  }

  for (const part of train.parts) {
    if (part.kind !== 'draw-tube' || part.extendedMm === null) continue;
    if (part.travelMm !== null && part.extendedMm > DRAW_TUBE_SHARE * part.travelMm) {
      const percent = Math.round((100 * part.extendedMm) / part.travelMm);
      add(
        'draw-tube-far-out',
        'caution',
        `${part.name} is out by ${part.extendedMm} of ${part.travelMm} mm (${percent} %): a draw tube far out sags and tilts with the load; a fixed extension in front of it lets it sit deeper (common practice)`,
      );
    }
  }

  let row = 0;
  for (const joint of sum.joints) {
    const clamped = joint.verdict.clamped;
    row = clamped ? row + 1 : 0;
    if (row === CLAMPED_IN_A_ROW + 1) {
      add(
        'clamped-in-a-row',
        'caution',
        `clamped joints follow each other up to ${joint.between[1]}: each may tilt, threads hold squarer (common practice)`,
      );
    }
    if (clamped) judgeLoad(train, joint.toSensorMm, joint.between, add);
  }

  const light = checkVignetting(train, sum);
  if (light.missing !== null) add('not-checked', 'note', `light cone not checked: ${light.missing}`);
  for (const opening of light.openings) {
    if (opening.cornerLight >= CORNER_LIGHT) continue;
    add(
      'vignetting',
      'caution',
      `${opening.name}: clear ${opening.clearMm.toFixed(1)} mm${opening.assumed ? ' (assumed from its joint)' : ''}, the cone wants ${opening.neededMm.toFixed(1)} mm there; the corner gets ${Math.round(100 * opening.cornerLight)} % of its light`,
    );
  }
  return warnings;
}

/** Names of threads that the file writes out and no list has. */
function strangeThreads(train: Train): Set<string> {
  const ends = [
    train.corrector.rear,
    train.camera.front,
    ...[...train.parts, ...train.box].flatMap((part) => [part.front, part.rear]),
  ];
  return new Set(
    ends.flatMap((end) => (end !== null && isOutsideCatalogue(end.standard) ? [end.standard.name] : [])),
  );
}

type Add = (code: TrainWarning['code'], severity: TrainWarning['severity'], message: string) => void;

function judgeLoad(train: Train, toSensorMm: number, between: readonly [string, string], add: Add): void {
  let left = sumTrain(train).totalMm;
  let momentNm = 0;
  let gram = 0;
  for (const part of train.parts) {
    const middle = left - part.lengthMm / 2;
    left -= part.lengthMm;
    if (middle > toSensorMm || part.massGram === null) continue;
    gram += part.massGram;
    momentNm += ((part.massGram / 1000) * 9.81 * (toSensorMm - middle)) / 1000;
  }
  const { massGram, sensorDepthMm } = train.camera;
  if (massGram === null) {
    add(
      'not-checked',
      'note',
      `load on the clamp ${between.join(' to ')} not judged: camera > massGram is not given`,
    );
    return;
  }
  gram += massGram;
  // A camera's weight lies behind its sensor: take as far behind as the sensor lies inside, at least 30 mm.
  momentNm += ((massGram / 1000) * 9.81 * (toSensorMm + Math.max(30, sensorDepthMm))) / 1000;
  if (momentNm > CLAMP_MOMENT_NM) {
    add(
      'load-on-clamp',
      'caution',
      `the clamp ${between.join(' to ')} carries ${gram} g with a moment of ${momentNm.toFixed(1)} N m: expect tilt that turns with the telescope; use a threaded joint there (common practice)`,
    );
  }
}
