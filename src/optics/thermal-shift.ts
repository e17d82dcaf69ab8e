/** Linear expansion of common tube materials, 1/K (handbook values from memory; aluminium alloys spread by about 5 %). */
export const TUBE_EXPANSION_PER_K = { aluminium: 23e-6, steel: 12e-6, carbonFibre: 1e-6 } as const;

/**
 * Change of a tube's length with temperature, micrometres: alpha L dT.
 *
 * @param lengthMm length of the tube, mm
 * @param temperatureChangeK change of temperature, kelvin (sign kept)
 * @param expansionPerK linear expansion, 1/K; aluminium unless given. Check: 400 mm and 1 K give 9.2 um.
 */
export function thermalShiftMicron(
  lengthMm: number,
  temperatureChangeK: number,
  expansionPerK: number = TUBE_EXPANSION_PER_K.aluminium,
): number {
  return lengthMm * 1000 * expansionPerK * temperatureChangeK;
}
