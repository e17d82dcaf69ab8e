import { describe, expect, it } from 'vitest';
import { builtInScenarios } from '../../src/simulate/built-in-scenarios.js';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { planNight } from '../../src/simulate/plan-night.js';

describe('builtInScenarios', () => {
  it('are valid, have names of their own, and say what they show', () => {
    expect(new Set(builtInScenarios.map(({ name }) => name)).size).toBe(builtInScenarios.length);
    for (const scenario of builtInScenarios) {
      expect(scenario.description).toMatch(/\.$/);
      expect(planNight(parseScenario(scenario, scenario.name)).length).toBeGreaterThanOrEqual(10);
    }
  });

  it('keep the target well above the horizon', () => {
    for (const scenario of builtInScenarios) {
      for (const plan of planNight(parseScenario(scenario, scenario.name))) {
        expect(plan.pointing.altitudeDeg).toBeGreaterThan(25);
      }
    }
  });
});
