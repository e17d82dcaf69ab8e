/** Said of daylight and of the Sun. */
export const NEVER_THE_SUN = 'never point an unfiltered telescope near the Sun';

/** Said wherever advice means touching the rig. */
export const RIG_CAUTIONS = `Before loosening anything: park the telescope and switch off, support camera and corrector, follow the makers’ instructions; ${NEVER_THE_SUN}.`;
