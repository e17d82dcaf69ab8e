import { setups } from './field-effect.js';
import { judgeSpacing } from './spacing.js';
import type { Cause } from './types.js';

export const spacingLong: Cause = {
  meta: {
    code: 'spacing-long',
    title: 'The sensor sits too far from the corrector',
    whyItMatters:
      'A reducer or flattener wants one exact distance to the sensor; off it, the corners of every frame are soft and drawn out.',
    looksLike:
      'Field rotation also draws stars out around a centre, but by a length that does not change with focus, and the field turns from frame to frame. Tilt softens one side, not all corners.',
    whatToDo:
      'Take out distance between corrector and sensor in small steps and compare; a ladder of spacings settles it.',
    references: [
      'Smith, Modern Optical Engineering, primary astigmatism: the tangential surface lies three times as far from the Petzval surface as the sagittal one',
      'Corner stars drawn out around the centre: too far (common practice, no source; some correctors reverse it)',
    ],
  },
  needs: (night) =>
    setups(night).length > 0 ? null : 'no frame has enough stars over the field for a sensor map',
  judge: (night) => judgeSpacing(night, 'long'),
};
