import { expect, it } from 'vitest';
import { RIG_CAUTIONS } from '../../src/optics/rig-cautions.js';

it('the cautions name power, support, makers and the Sun', () => {
  for (const word of ['switch off', 'support', 'instructions', 'Sun']) expect(RIG_CAUTIONS).toContain(word);
});
