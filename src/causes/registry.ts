import { brightSky } from './bright-sky.js';
import { cloud } from './cloud.js';
import { decentredOptics } from './decentred-optics.js';
import { dew } from './dew.js';
import { fieldRotation } from './field-rotation.js';
import { focusDrift } from './focus-drift.js';
import { focusOffset } from './focus-offset.js';
import { guidingTrail } from './guiding-trail.js';
import { seeing } from './seeing.js';
import { sensorTilt } from './sensor-tilt.js';
import { spacingLong } from './spacing-long.js';
import { spacingShort } from './spacing-short.js';
import { streak } from './streak.js';
import type { Cause } from './types.js';
import { windShake } from './wind-shake.js';
/** Every cause, in the order of the vocabulary. */
export const causes: readonly Cause[] = [
  focusDrift,
  focusOffset,
  sensorTilt,
  spacingShort,
  spacingLong,
  guidingTrail,
  windShake,
  fieldRotation,
  decentredOptics,
  cloud,
  brightSky,
  dew,
  streak,
  seeing,
];
