import { plateShiftMm } from '../plate-shift.js';
import type { Train, TrainPart } from './train-file.js';
import { judgeJoint } from './train-threads.js';
import type { JointEnd, JointVerdict } from './train-threads.js';

/** A part at its place: distances of its two faces from the sensor, mm. */
export interface PlacedPart {
  readonly part: TrainPart;
  readonly frontToSensorMm: number;
  readonly rearToSensorMm: number;
}

/** One joint of the train and whether it can be made. */
export interface PlacedJoint {
  readonly between: readonly [string, string];
  readonly toSensorMm: number;
  readonly verdict: JointVerdict;
}

/** The arithmetic of a train. */
export interface TrainSum {
  readonly totalMm: number;
  /** What the corrector asks for in air. */
  readonly requiredMm: number;
  /** Added by the glass in the path: sum of t (1 - 1/n). */
  readonly glassShiftMm: number;
  readonly glass: readonly { readonly name: string; readonly shiftMm: number }[];
  /** requiredMm + glassShiftMm. */
  readonly wantedMm: number;
  /** totalMm - wantedMm: positive when the sensor sits too far away (spacing long). */
  readonly errorMm: number;
  readonly toleranceMm: number;
  readonly verdict: 'within-tolerance' | 'short' | 'long';
  readonly parts: readonly PlacedPart[];
  readonly joints: readonly PlacedJoint[];
}

/**
 * Add up a train: total length, what the corrector wants with the glass corrected for, the error, and every joint.
 *
 * Shims, and filters without ends of their own, have no joint: they lie between or inside their neighbours.
 */
export function sumTrain(train: Train): TrainSum {
  const totalMm = train.parts.reduce((sum, part) => sum + part.lengthMm, train.camera.sensorDepthMm);
  const glass = [
    ...train.parts.flatMap((part) => (part.glass ? [{ name: part.name, glass: part.glass }] : [])),
    ...(train.camera.window ? [{ name: `${train.camera.name}: window`, glass: train.camera.window }] : []),
  ].map(({ name, glass: g }) => ({ name, shiftMm: plateShiftMm(g.thicknessMm, g.index) }));
  const glassShiftMm = glass.reduce((sum, entry) => sum + entry.shiftMm, 0);
  const { requiredMm, toleranceMm } = train.corrector;
  const wantedMm = requiredMm + glassShiftMm;
  // Micrometre steps: sums of decimal lengths must not leave 1e-15 behind.
  const errorMm = Math.round((totalMm - wantedMm) * 1e6) / 1e6;
  const within = Math.abs(errorMm) <= toleranceMm + 1e-9;
  return {
    totalMm,
    requiredMm,
    glassShiftMm,
    glass,
    wantedMm,
    errorMm,
    toleranceMm,
    verdict: within ? 'within-tolerance' : errorMm < 0 ? 'short' : 'long',
    parts: placeParts(train, totalMm),
    joints: placeJoints(train, totalMm),
  };
}

function placeParts(train: Train, totalMm: number): PlacedPart[] {
  let left = totalMm;
  return train.parts.map((part) => {
    const frontToSensorMm = left;
    left -= part.lengthMm;
    return { part, frontToSensorMm, rearToSensorMm: left };
  });
}

function placeJoints(train: Train, totalMm: number): PlacedJoint[] {
  const joints: PlacedJoint[] = [];
  let left = totalMm;
  let previous: { name: string; rear: JointEnd | null } = train.corrector;
  for (const part of train.parts) {
    if (part.kind !== 'shim' && !(part.kind === 'filter' && part.front === null && part.rear === null)) {
      joints.push({
        between: [previous.name, part.name],
        toSensorMm: left,
        verdict: judgeJoint(previous.rear, part.front),
      });
      previous = part;
    }
    left -= part.lengthMm;
  }
  joints.push({
    between: [previous.name, train.camera.name],
    toSensorMm: left,
    verdict: judgeJoint(previous.rear, train.camera.front),
  });
  return joints;
}
