import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { loadScenario } from '../../src/simulate/load-scenario.js';
import { scenarioSchema } from '../../src/simulate/scenario.js';

const suite = fileURLToPath(new URL('../bench/scenarios', import.meta.url));
const files = readdirSync(suite).filter((name) => name.endsWith('.yaml'));

describe('scenarioSchema', () => {
  it('needs a name and nothing else', () => {
    const scenario = scenarioSchema.parse({ name: 'plain' });
    expect(scenario.optics.tilt.spanMicron).toBe(0);
    expect(scenario.filters.map(({ name }) => name)).toEqual(['L']);
    expect(scenarioSchema.safeParse({}).success).toBe(false);
  });

  it('knows no fault of an unknown kind', () => {
    expect(scenarioSchema.safeParse({ name: 'x', faults: [{ kind: 'gremlins' }] }).success).toBe(false);
  });
});

describe('the scenario suite', () => {
  it('has every cause at three strengths, pairs, clean nights and hard cases', () => {
    expect(files.length).toBeGreaterThanOrEqual(24);
    for (const cause of [
      'focus-drift',
      'sensor-tilt',
      'spacing-short',
      'spacing-long',
      'guiding-trail',
      'wind-shake',
      'field-rotation',
      'decentred-optics',
      'cloud',
      'bright-sky',
      'dew',
      'seeing',
    ]) {
      for (const severity of ['mild', 'medium', 'strong'])
        expect(files).toContain(`${cause}-${severity}.yaml`);
    }
    expect(files.filter((name) => name.startsWith('clean-')).length).toBeGreaterThanOrEqual(5);
    expect(files.filter((name) => name.startsWith('pair-')).length).toBeGreaterThanOrEqual(3);
  });

  it.each(files)('%s is valid, is named after its file, and has a seed of its own', async (file) => {
    const scenario = await loadScenario(file, suite);
    expect(`${scenario.name}.yaml`).toBe(file);
    expect(scenario.severity).toBeDefined();
    const seed = `seed: ${scenario.seed}\n`;
    expect(files.filter((other) => readFileSync(`${suite}/${other}`, 'utf8').includes(seed))).toEqual([file]);
  });
});
