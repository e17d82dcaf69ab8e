import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { moonBrightness, skyLightAt } from '../../src/simulate/sky-light.js';

const scenario = parseScenario({ name: 'sky' }, 'test');

describe('skyLightAt', () => {
  it('is dark at new Moon in the middle of the night', () => {
    const light = skyLightAt(scenario, new Date('2026-09-11T23:00:00Z'), 60, 180);
    expect(light.sunAltitudeDeg).toBeLessThan(-30);
    expect(light.moonPhase).toBeLessThan(0.02);
    expect(light.factor).toBeCloseTo(1, 6);
  });

  it('is several times brighter under the full Moon, and more so near it', () => {
    const when = new Date('2026-09-26T23:00:00Z');
    const far = skyLightAt(scenario, when, 60, 0);
    const near = skyLightAt(scenario, when, far.moonAltitudeDeg + 15, 180);
    expect(far.moonPhase).toBeGreaterThan(0.98);
    expect(far.factor).toBeGreaterThan(3);
    expect(far.factor).toBeLessThan(30);
    expect(near.factor).toBeGreaterThan(far.factor);
  });

  it('brightens through twilight', () => {
    const factors = ['02:50', '03:20', '03:50'].map(
      (time) => skyLightAt(scenario, new Date(`2026-09-12T${time}:00Z`), 60, 180).factor,
    );
    expect(factors[1]).toBeGreaterThan(factors[0]);
    expect(factors[2]).toBeGreaterThan(10 * factors[1] ** 0.5);
  });
});

describe('moonBrightness', () => {
  it('gives the worked case of Krisciunas & Schaefer 1991: a full Moon brightens a 21.6 mag sky by some magnitudes', () => {
    // Table 2 of the paper lists 2.5 to 4.5 mag for full Moon at 60 to 20 degrees (from memory: the order of size only).
    const dark = 34.08 * Math.exp(20.7233 - 0.92104 * 21.6);
    const brighter = (distance: number): number =>
      2.5 * Math.log10(1 + moonBrightness(0, distance, 50, 60, 0.172) / dark);
    expect(brighter(60)).toBeGreaterThan(2);
    expect(brighter(60)).toBeLessThan(4);
    expect(brighter(15)).toBeGreaterThan(brighter(60));
  });

  it('is nothing when the Moon is down', () => {
    expect(moonBrightness(0, 60, -1, 60, 0.172)).toBe(0);
  });
});
