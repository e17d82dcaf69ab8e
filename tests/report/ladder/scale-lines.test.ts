import { expect, it } from 'vitest';
import { scaleLines } from '../../../src/report/ladder/scale-lines.js';
import { madeLadder } from './made-ladder.js';

it('says the measurement, the distance, the factor, odd labels and the verdict', () => {
  const text = scaleLines(madeLadder).join('\n');
  expect(text).toContain('from the WCS');
  expect(text).toContain('220 ± 1 mm inside its own focus, 55.2 mm from the sensor');
  expect(text).toContain('real factor 0.800');
  expect(text).toContain('DISAGREES');
});

it('says no distance when the scale hardly changed, and what is needed when there is no scale', () => {
  const scale = { ...madeLadder.scale!, verdict: 'too-weak' as const, words: 'hardly changed' };
  expect(scaleLines({ ...madeLadder, scale }).join('\n')).not.toContain('inside its own focus');
  expect(scaleLines({ ...madeLadder, scale: null })[0]).toContain('no witness');
});
