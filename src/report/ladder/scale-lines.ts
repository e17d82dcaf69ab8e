import type { LadderAssessment } from '../../night/ladder/index.js';
import { fixed, plusMinus, plusMinusSigned, signed } from '../numbers.js';

/** What the image scale says about the ladder, one statement a line; the first line is the measurement. */
export function scaleLines({ scale }: LadderAssessment): string[] {
  if (scale === null)
    return ['Image scale: no witness (needs a WCS, or the same star field at two spacings).'];
  const lines = [
    `Image scale (${scale.source === 'wcs' ? 'from the WCS' : 'stars matched between rungs'}): ${plusMinusSigned(scale.percentPerMm.value, scale.percentPerMm.error, 3)} % of focal length per mm`,
  ];
  if (scale.verdict !== 'too-weak') {
    lines.push(
      `  the reducer stands ${plusMinus(scale.remainderMm.value, scale.remainderMm.error, 0)} mm inside its own focus${
        scale.distanceMm ? `, ${fixed(scale.distanceMm.value, 1)} mm from the sensor (principal plane)` : ''
      }`,
    );
  }
  if (scale.factor !== null) lines.push(`  real factor ${fixed(scale.factor, 3)}`);
  for (const { spacingMm, differenceMm } of scale.oddLabels) {
    lines.push(`  the rung labelled ${spacingMm} mm looks ${signed(differenceMm, 2)} mm off`);
  }
  lines.push(
    `  ${scale.verdict === 'agrees' ? 'agrees' : scale.verdict === 'disagrees' ? 'DISAGREES' : 'says nothing'}: ${scale.words}`,
  );
  return lines;
}
