import { describe, expect, it } from 'vitest';
import { RIG_CAUTIONS } from '../../src/optics/index.js';
import { tellSetups, type SetupFinding } from '../../src/causes/several-setups.js';

const setup = (confidence: number, ...frames: string[]): SetupFinding => ({
  confidence,
  frames,
  evidence: [{ what: 'axis', value: 100 * confidence, unit: 'deg' }],
  advice: `Look at ${frames[0]}'s mount. ${RIG_CAUTIONS}`,
});

describe('tellSetups', () => {
  it('leaves a single set-up alone', () => {
    const only = setup(0.9, 'a', 'b');
    expect(tellSetups([only])).toEqual({ evidence: only.evidence, advice: only.advice });
  });

  it('says of which frames each piece of evidence and advice is, surest first, cautions once', () => {
    const { evidence, advice } = tellSetups([setup(0.6, 'a'), setup(0.9, 'b', 'c')]);
    expect(evidence.map((e) => e.what)).toEqual(['b and 1 more of its set-up: axis', 'a: axis']);
    expect(advice).toBe(
      `b and 1 more of its set-up: Look at b's mount. a: Look at a's mount. ${RIG_CAUTIONS}`,
    );
  });

  it('names the frames of set-ups that it has no room for', () => {
    const { evidence, advice } = tellSetups(['a', 'b', 'c', 'd'].map((f, k) => setup(0.9 - 0.1 * k, f)));
    expect(evidence).toHaveLength(3);
    expect(advice).toContain('(d): assess each by itself');
  });
});
