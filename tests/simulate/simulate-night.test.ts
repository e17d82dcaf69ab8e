import { describe, expect, it } from 'vitest';
import { parseScenario } from '../../src/simulate/load-scenario.js';
import { simulateNight, simulateTruth } from '../../src/simulate/simulate-night.js';
import type { NightTruth } from '../../src/simulate/truth-types.js';

const scenario = parseScenario(
  { name: 'x', frames: 3, camera: { widthPx: 120, heightPx: 90 }, stars: { count: 30 } },
  'test',
);

function run(seed: number): { files: string[]; bytes: Uint8Array[]; truth: NightTruth } {
  const night = simulateNight({ ...scenario, seed });
  const files: string[] = [];
  const bytes: Uint8Array[] = [];
  for (;;) {
    const step = night.next();
    if (step.done) return { files, bytes, truth: step.value };
    files.push(step.value.file);
    bytes.push(step.value.bytes);
  }
}

describe('simulateNight', () => {
  it('gives equal bytes and truth for equal seeds, and others for another', () => {
    const first = run(1);
    const again = run(1);
    expect(again.bytes.every((frame, i) => Buffer.compare(frame, first.bytes[i]) === 0)).toBe(true);
    expect(again.truth).toEqual(first.truth);
    expect(Buffer.compare(run(2).bytes[0], first.bytes[0])).not.toBe(0);
  });

  it('names every file in the truth', () => {
    const { files, truth } = run(1);
    expect(truth.frames.map(({ file }) => file)).toEqual(files);
    expect(new Set(files).size).toBe(3);
  });
});

describe('simulateTruth', () => {
  it('is the truth of the frames, without the frames', () => {
    expect(simulateTruth(scenario)).toEqual(run(1).truth);
  });
});
