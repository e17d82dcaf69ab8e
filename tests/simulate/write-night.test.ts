import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, describe, expect, it } from 'vitest';
import { loadScenario, parseScenario } from '../../src/simulate/load-scenario.js';
import { simulateNight } from '../../src/simulate/simulate-night.js';
import type { NightTruth } from '../../src/simulate/truth-types.js';
import { writeNight } from '../../src/simulate/write-night.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-'));
afterAll(() => rmSync(folder, { recursive: true }));
const tiny = parseScenario(
  { name: 'tiny', frames: 2, camera: { widthPx: 64, heightPx: 64 }, stars: { count: 10 } },
  'test',
);

describe('writeNight', () => {
  it('writes frames and truth, tells of its progress, and may be repeated with replace only', async () => {
    const out = join(folder, 'night');
    const seen: string[] = [];
    const truth = await writeNight(tiny, out, {
      onProgress: ({ done, total }) => seen.push(`${done}/${total}`),
    });
    expect(seen).toEqual(['1/2', '2/2']);
    expect(readdirSync(out).sort()).toEqual([...truth.frames.map(({ file }) => file), 'truth.json'].sort());
    const written = JSON.parse(readFileSync(join(out, 'truth.json'), 'utf8')) as NightTruth;
    expect(written.schema).toBe('starassay/truth@1');
    expect(written.frames[0].fwhm.px).toBeCloseTo(truth.frames[0].fwhm.px, 5);
    await expect(writeNight(tiny, out)).rejects.toThrow(/not empty/);
    await writeNight(tiny, out, { replace: true });
  });

  it('puts the rungs of a ladder into folders of their own', async () => {
    const out = join(folder, 'ladder');
    await writeNight(
      { ...tiny, sweep: { rangeMicron: 50, centreMicron: 0 }, ladder: { spacingsMm: [54, 55] } },
      out,
    );
    expect(readdirSync(out).sort()).toEqual(['spacing-54.00', 'spacing-55.00', 'truth.json']);
    expect(readdirSync(join(out, 'spacing-54.00'))).toHaveLength(2);
  });

  it('stops between frames when asked to', async () => {
    const abort = new AbortController();
    const out = join(folder, 'stopped');
    await expect(
      writeNight(tiny, out, { signal: abort.signal, onProgress: () => abort.abort() }),
    ).rejects.toThrow();
    expect(readdirSync(out)).toHaveLength(1);
  });
});

describe('sample-frames', () => {
  it('hold what the scenario of that name makes', async () => {
    const sample = fileURLToPath(new URL('../../sample-frames', import.meta.url));
    const first = simulateNight(await loadScenario('sample-night', '.')).next();
    if (first.done) throw new Error('a night without frames');
    const { file, bytes } = first.value;
    const stored = readFileSync(join(sample, file));
    // The header names the version that made it; the pixels must not depend on it.
    expect(Buffer.compare(stored.subarray(-480_000), Buffer.from(bytes).subarray(-480_000))).toBe(0);
  });
});
