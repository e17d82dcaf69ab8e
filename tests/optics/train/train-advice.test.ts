import { describe, expect, it } from 'vitest';
import { adviseSpacing } from '../../../src/optics/train/train-advice.js';
import { madeTrain } from './train-fixture.js';

describe('what to change in a train', () => {
  it('comes from the arithmetic when nothing was measured: 20 mm become 5 + 16 mm and shims', () => {
    const advice = adviseSpacing(madeTrain(), null);
    expect(advice.basis).toBe('arithmetic');
    expect(advice.errorMm).toBeCloseTo(-1.1814, 4);
    const best = advice.plans[0]!;
    expect(best.takeOut.map((part) => part.name)).toEqual(['tube 20']);
    expect(best.choice.pieces.map((p) => p.part.name).sort()).toEqual(['shim 0.2', 'tube 16', 'tube 5']);
    expect(Math.abs(best.errorMm)).toBeLessThanOrEqual(0.1);
  });

  it('follows a measured error instead, and takes out when the train is long', () => {
    const advice = adviseSpacing(madeTrain(), 4);
    expect(advice.basis).toBe('measured');
    expect(advice.plans[0]?.choice.pieces.map((p) => p.part.name)).toEqual(['tube 16']);
    expect(advice.plans[0]?.errorMm).toBe(0);
  });

  it('lists the same pieces once, whichever joint they may go to', () => {
    const advice = adviseSpacing(
      madeTrain(
        ['filter: {thicknessMm: 2}', 'filter: {thicknessMm: 0.1}'],
        ['requiredMm: 55', 'requiredMm: 54.7'],
      ),
      null,
    );
    const keys = advice.plans.map((p) => p.choice.pieces.filter((x) => x.part.kind === 'shim').length);
    expect(new Set(keys).size).toBe(keys.length);
  });

  it('puts the plan first that leaves most pieces where they are, with as many joints', () => {
    const spare = '- {name: T 1, lengthMm: 1, front: T thread female, rear: T thread male}';
    const advice = adviseSpacing(madeTrain(['box:', `box:\n  ${spare}`]), -1);
    expect(advice.plans[0]?.takeOut).toEqual([]);
    expect(advice.plans[0]?.choice.pieces.map((p) => p.part.name)).toEqual(['T 1']);
  });

  it('names the nearest when nothing in the box is within tolerance', () => {
    const advice = adviseSpacing(madeTrain(), -2.9);
    expect(advice.plans).toEqual([]);
    expect(advice.nearest).not.toBeNull();
    expect(Math.abs(advice.nearest!.errorMm)).toBeGreaterThan(0.1);
  });

  it('has no plan for a train that must get shorter than its fixed parts', () => {
    const advice = adviseSpacing(madeTrain(), 25);
    expect(advice.plans).toEqual([]);
  });
});
