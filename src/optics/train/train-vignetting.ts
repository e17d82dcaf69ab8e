import { lightCone } from './light-cone.js';
import type { Train } from './train-file.js';
import type { TrainSum } from './train-sum.js';
import { usualClearApertureMm } from './train-threads.js';
import type { JointEnd } from './train-threads.js';

/** One opening of the train against the light cone. */
export interface OpeningCheck {
  readonly name: string;
  readonly toSensorMm: number;
  readonly clearMm: number;
  /** True when the file gives no clear aperture and the joint's usual one stands in. */
  readonly assumed: boolean;
  readonly neededMm: number;
  readonly cornerLight: number;
}

/** Every opening, or why the cone cannot be drawn. */
export interface VignettingCheck {
  readonly openings: readonly OpeningCheck[];
  /** Narrowest against its need; null when nothing could be checked. */
  readonly tightest: OpeningCheck | null;
  readonly diagonalMm: number | null;
  readonly missing: string | null;
}

/**
 * Compare the clear aperture of every part, at the face farther from the sensor (where the cone is wider), with the light cone.
 *
 * Needs the working focal ratio and the sensor's size; `missing` says which is not there. Without an exit pupil distance
 * the chief rays are taken as parallel to the axis, which asks for the widest openings.
 */
export function checkVignetting(train: Train, sum: TrainSum): VignettingCheck {
  const { sensorWidthMm, sensorHeightMm } = train.camera;
  const { focalRatio, exitPupilMm } = train.corrector;
  if (focalRatio === null) {
    return {
      openings: [],
      tightest: null,
      diagonalMm: null,
      missing: 'corrector > focalRatio (working focal ratio) is not given',
    };
  }
  if (sensorWidthMm === null || sensorHeightMm === null) {
    return {
      openings: [],
      tightest: null,
      diagonalMm: null,
      missing: 'camera > sensorWidthMm and sensorHeightMm are not given',
    };
  }
  const diagonalMm = Math.hypot(sensorWidthMm, sensorHeightMm);
  const openings: OpeningCheck[] = [];
  const look = (
    name: string,
    toSensorMm: number,
    given: number | null,
    ends: readonly (JointEnd | null)[],
  ) => {
    const usual = ends.flatMap((end) => (end ? [usualClearApertureMm(end.standard)] : []));
    const clearMm = given ?? (usual.length > 0 ? Math.min(...usual) : null);
    if (clearMm === null) return;
    const cone = lightCone(toSensorMm, clearMm, focalRatio, diagonalMm, exitPupilMm ?? Infinity);
    openings.push({
      name,
      toSensorMm,
      clearMm,
      assumed: given === null,
      neededMm: cone.neededMm,
      cornerLight: cone.cornerLight,
    });
  };
  look(train.corrector.name, sum.totalMm, train.corrector.clearApertureMm, [train.corrector.rear]);
  for (const { part, frontToSensorMm } of sum.parts) {
    look(part.name, frontToSensorMm, part.clearApertureMm, [part.front, part.rear]);
  }
  look(train.camera.name, train.camera.sensorDepthMm, train.camera.clearApertureMm, [train.camera.front]);
  const tightest = openings.reduce<OpeningCheck | null>(
    (worst, opening) =>
      worst === null || opening.clearMm - opening.neededMm < worst.clearMm - worst.neededMm ? opening : worst,
    null,
  );
  return {
    openings,
    tightest,
    diagonalMm,
    missing: openings.length > 0 ? null : 'no part gives a clear aperture or a joint',
  };
}
