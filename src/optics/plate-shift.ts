/**
 * How far a plane-parallel plate (filter, window) in a converging beam moves the focus away from the optics, mm: t (1 - 1/n).
 *
 * @param thicknessMm plate thickness t, mm (>= 0)
 * @param refractiveIndex index n of the glass (>= 1); 1 (air) shifts nothing
 * @throws RangeError for a negative thickness or an index below 1
 *
 * Source: W. J. Smith, Modern Optical Engineering, plane-parallel plates (paraxial). Check: 2 mm of n = 1.5168 gives 0.681 mm.
 */
export function plateShiftMm(thicknessMm: number, refractiveIndex: number): number {
  if (!(thicknessMm >= 0) || !Number.isFinite(thicknessMm)) {
    throw new RangeError(`plate thickness must be a number of mm >= 0, not ${thicknessMm}`);
  }
  if (!(refractiveIndex >= 1) || !Number.isFinite(refractiveIndex)) {
    throw new RangeError(`refractive index must be a number >= 1, not ${refractiveIndex}`);
  }
  return thicknessMm * (1 - 1 / refractiveIndex);
}
