const ARCMIN_PER_RADIAN = (180 / Math.PI) * 60;

function requireLength(name: string, value: number): void {
  if (!(value > 0) || !Number.isFinite(value)) throw new RangeError(`${name} must be positive, not ${value}`);
}

/**
 * Angle of a tilt whose plane rises `spanMicron` over `distanceMm`, arcminutes: atan(span / distance).
 *
 * @param spanMicron rise of the plane between two points, micrometres (sign kept)
 * @param distanceMm distance of those points along the steepest direction, mm (> 0)
 * @throws RangeError when the distance is not positive
 */
export function tiltAngleArcmin(spanMicron: number, distanceMm: number): number {
  requireLength('distance', distanceMm);
  return Math.atan(spanMicron / 1000 / distanceMm) * ARCMIN_PER_RADIAN;
}

/**
 * Thickness of the shim that undoes a tilt when laid at one edge of a flange, micrometres: D tan(angle).
 *
 * @param angleArcmin tilt angle, arcminutes
 * @param flangeDiameterMm diameter on which the flange rests, mm (> 0)
 * @throws RangeError when the diameter is not positive
 */
export function shimMicron(angleArcmin: number, flangeDiameterMm: number): number {
  requireLength('flange diameter', flangeDiameterMm);
  return flangeDiameterMm * Math.tan(angleArcmin / ARCMIN_PER_RADIAN) * 1000;
}

/** One adjusting screw of a tilt plate: where it sits and how far to turn it. */
export interface ScrewTurn {
  /** Direction of the screw from the plate's centre, pixel frame, degrees. */
  readonly directionDeg: number;
  /** Turns that lift (+) or lower (-) the plate there; positive widens the gap at the screw. */
  readonly turns: number;
  readonly liftMicron: number;
}

/**
 * Turns of each screw of a tilt plate that raise the plate by the given angle towards `raiseDirectionDeg`, their mean kept at zero.
 *
 * @param angleArcmin angle to add, arcminutes
 * @param raiseDirectionDeg pixel-frame direction in which the gap must widen, degrees
 * @param plateRadiusMm distance of the screws from the centre, mm (> 0)
 * @param pitchMm lift per turn, mm (> 0)
 * @param screwDirectionsDeg pixel-frame directions of the screws
 * @throws RangeError when radius or pitch is not positive
 */
export function screwTurns(
  angleArcmin: number,
  raiseDirectionDeg: number,
  plateRadiusMm: number,
  pitchMm: number,
  screwDirectionsDeg: readonly number[],
): ScrewTurn[] {
  requireLength('plate radius', plateRadiusMm);
  requireLength('screw pitch', pitchMm);
  const slope = Math.tan(angleArcmin / ARCMIN_PER_RADIAN);
  return screwDirectionsDeg.map((directionDeg) => {
    const liftMm = plateRadiusMm * slope * Math.cos(((directionDeg - raiseDirectionDeg) * Math.PI) / 180);
    return { directionDeg, turns: liftMm / pitchMm, liftMicron: liftMm * 1000 };
  });
}
