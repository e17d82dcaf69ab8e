/**
 * Bring a seeing FWHM to the zenith: long-exposure Kolmogorov seeing grows as airmass^0.6.
 *
 * @param fwhm any unit; @param airmass of the exposure (>= 1). Source: Roddier 1981, Progress in Optics 19, 281; Fried 1966.
 */
export function seeingAtZenith(fwhm: number, airmass: number): number {
  return fwhm / airmass ** 0.6;
}
