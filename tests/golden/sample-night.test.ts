import { readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import type { NightAssessment } from '../../src/causes/types.js';
import { differences } from './differences.js';
import { readmeBlocks, readmeFile } from './readme.js';
import { assessSampleNight, goldenFile, repeatableJson } from './sample-night.js';

// A wanted change: npm run golden, then look at the difference.
describe('the sample night', () => {
  let night: NightAssessment;
  beforeAll(async () => void (night = await assessSampleNight()), 60_000);

  it('gives the JSON document of before', () => {
    const golden: unknown = JSON.parse(readFileSync(goldenFile, 'utf8'));
    // Figures are written with 5 to 7 digits; another version of the JavaScript engine may round the last one differently.
    expect(differences(golden, repeatableJson(night), 2e-5)).toEqual([]);
  });

  it('looks as README.md shows it', () => {
    const readme = readFileSync(readmeFile, 'utf8');
    for (const block of readmeBlocks(night)) expect(readme).toContain(`\n${block}\n`);
  });
});
