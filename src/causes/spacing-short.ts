import { setups } from './field-effect.js';
import { judgeSpacing } from './spacing.js';
import type { Cause } from './types.js';

export const spacingShort: Cause = {
  meta: {
    code: 'spacing-short',
    title: 'The sensor sits too close to the corrector',
    whyItMatters:
      'A reducer or flattener wants one exact distance to the sensor; off it, the corners of every frame are soft and drawn out.',
    looksLike:
      'Tilt softens one side, not all corners. Field rotation draws stars out around a centre, whatever the focus. A telescope without any flattener has a curved field that no spacing cures.',
    whatToDo:
      'Add distance between corrector and sensor in small steps and compare; a ladder of spacings settles it.',
    references: [
      'Smith, Modern Optical Engineering, primary astigmatism: the tangential surface lies three times as far from the Petzval surface as the sagittal one',
      'Corner stars drawn out along the radius: too close (common practice, no source; some correctors reverse it)',
    ],
  },
  needs: (night) =>
    setups(night).length > 0 ? null : 'no frame has enough stars over the field for a sensor map',
  judge: (night) => judgeSpacing(night, 'short'),
};
