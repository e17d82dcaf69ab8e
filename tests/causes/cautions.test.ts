import { describe, expect, it } from 'vitest';
import { BEFORE_TOUCHING, NEVER_THE_SUN } from '../../src/causes/cautions.js';

describe('cautions', () => {
  it('say what must be said before the rig is touched', () => {
    for (const word of ['Park', 'switch it off', 'camera and corrector', "makers' instructions"]) {
      expect(BEFORE_TOUCHING).toContain(word);
    }
    expect(NEVER_THE_SUN).toContain('Never');
  });
});
