/** Said whenever advice means touching the rig. */
export const BEFORE_TOUCHING =
  "Park the mount and switch it off before loosening anything, keep a hand on camera and corrector, and follow the makers' instructions.";

/** Said when a time stamp lies in daylight or the target is the Sun. */
export const NEVER_THE_SUN = 'Never point a telescope without a proper solar filter near the Sun.';
