import { fileURLToPath } from 'node:url';
import type { NightAssessment } from '../../src/causes/types.js';
import { assessNight } from '../../src/index.js';
import { nightJson } from '../../src/report/night-json.js';

export const goldenFile = fileURLToPath(new URL('./sample-night.json', import.meta.url));

export function assessSampleNight(): Promise<NightAssessment> {
  const folder = fileURLToPath(new URL('../../sample-frames', import.meta.url));
  return assessNight([folder], { threads: 0, overrides: new Map() });
}

/** Where the files lie and how long a frame took: different on every machine. */
const unrepeatable = new Set(['path', 'elapsedMs']);

/** The JSON document of a night without what no other run repeats. */
export function repeatableJson(night: NightAssessment): unknown {
  return JSON.parse(
    JSON.stringify(nightJson(night), (key, value: unknown) => (unrepeatable.has(key) ? undefined : value)),
  );
}
