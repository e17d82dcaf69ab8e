import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { UsageError } from '../../src/errors.js';
import { loadScenario, parseScenario } from '../../src/simulate/load-scenario.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-'));
afterAll(() => rmSync(folder, { recursive: true }));
const file = (name: string, text: string): string => {
  writeFileSync(join(folder, name), text);
  return name;
};

describe('loadScenario', () => {
  it('reads YAML and JSON and fills in the defaults', async () => {
    const yaml = await loadScenario(file('a.yaml', 'name: windy\nframes: 3\n'), folder);
    const json = await loadScenario(file('a.json', '{ "name": "windy", "frames": 3 }'), folder);
    expect(yaml).toEqual(json);
    expect(yaml.camera.widthPx).toBe(1000);
  });

  it('knows the built-in names', async () => {
    expect((await loadScenario('sample-night', folder)).frames).toBe(16);
  });

  it('says which key it does not know, and where', async () => {
    const bad = file(
      'b.yaml',
      'name: x\noptics: { tilt: { spannMicron: 3 } }\nfaults: [{ kind: wind, rmsArcsec: -1 }]\n',
    );
    const error = await loadScenario(bad, folder).catch((e: unknown) => e);
    expect(error).toBeInstanceOf(UsageError);
    expect((error as UsageError).message).toContain("unknown key 'spannMicron' in optics.tilt");
    expect((error as UsageError).message).toContain('faults.0.rmsArcsec');
  });

  it('explains a missing file, broken YAML, and an empty one', async () => {
    await expect(loadScenario('nothing.yaml', folder)).rejects.toThrow(
      /neither a built-in scenario nor a readable file/,
    );
    await expect(loadScenario(file('c.yaml', 'a: [1'), folder)).rejects.toThrow(/not valid YAML/);
    await expect(loadScenario(file('d.yaml', ''), folder)).rejects.toThrow(/no valid scenario/);
  });
});

describe('parseScenario', () => {
  it('refuses numbers out of range', () => {
    expect(() => parseScenario({ name: 'x', frames: 0 }, 'test')).toThrow(/frames/);
    expect(() => parseScenario({ name: 'Two words' }, 'test')).toThrow(/lower-case/);
  });
});
