import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { rigFolder } from './run-rig.js';

let rig: ReturnType<typeof rigFolder>;
beforeAll(async () => {
  rig = rigFolder();
  await rig.recordStep();
  await rig.run(['note', '2026-01-21', 'draw tube replaced by thread']);
});
afterAll(() => rig.cleanUp());

describe('what the history shows', () => {
  it('rig list', async () => {
    expect((await rig.run(['list'])).out).toMatch(
      /Marsh 106, 530 mm, Heron 26M \(\w+\)\n {2}40 nights, 120 subs, 2026-01-01 to 2026-02-09/,
    );
    expect(JSON.parse((await rig.run(['list', '--json'])).out)).toMatchObject({ rigs: [{ nights: 40 }] });
  });

  it('rig status, with an exit code where asked', async () => {
    const { out, exit } = await rig.run(['status', '--fail-on', 'left']);
    expect(out).toContain('+ Sensor tilt improved on 2026-01-21 (note 1: draw tube replaced by thread)');
    expect(exit).toBe(0);
    expect(JSON.parse((await rig.run(['status', '--json'])).out)).toMatchObject({
      schema: 'starassay/rig-status@1',
    });
    expect(Math.max(...out.split('\n').map((line) => line.length))).toBeLessThanOrEqual(80);
  });

  it('rig trend, and its page', async () => {
    const { out, note } = await rig.run(['trend', '--metric', 'tilt', '--report', 'rig.html']);
    expect(out.replace(/\n +/g, ' ')).toContain('after note 1, “draw tube replaced by thread”');
    expect(note).toBe('wrote rig.html\n');
    expect(readFileSync(join(rig.folder, 'rig.html'), 'utf8')).toContain(
      '<title>Marsh 106, 530 mm, Heron 26M',
    );
    // The colours that the configuration asks for, unless the option says otherwise.
    const opensWith = (palette: string) =>
      new RegExp(`value="${palette}"\\s+checked`).test(readFileSync(join(rig.folder, 'rig.html'), 'utf8'));
    writeFileSync(join(rig.folder, 'starassay.yaml'), 'palette: night\nmax-fwhm-ratio: 1.3\n');
    await rig.run(['trend', '--report', 'rig.html']);
    expect(opensWith('night')).toBe(true);
    await rig.run(['trend', '--report', 'rig.html', '--palette', 'dark']);
    expect(opensWith('dark')).toBe(true);
    rmSync(join(rig.folder, 'starassay.yaml'));
    const since = JSON.parse((await rig.run(['trend', '--since', '2026-02-01', '--json'])).out) as {
      metrics: { points: object[] }[];
    };
    expect(since.metrics[0].points).toHaveLength(9);
    await expect(rig.run(['trend', '--metric', 'tild'])).rejects.toThrow(/tild/);
    await expect(rig.run(['trend', 'other rig'])).rejects.toThrow(/no rig called "other rig"/);
  });

  it('rig compare around a note or between ranges', async () => {
    const { out } = await rig.run(['compare', '--note', '1', '--metric', 'tilt']);
    expect(out.replace(/\n +/g, ' ')).toMatch(
      /\+ Sensor tilt fell from 3\d\.\d to \d+\.\d µm \(95 %: 2\d\.\d to [23]\d\.\d µm less\) after "draw tube/,
    );
    const json = (
      await rig.run(['compare', '--before', '..2026-01-10', '--after', '2026-01-11..2026-01-20', '--json'])
    ).out;
    expect(JSON.parse(json)).toMatchObject({ before: { nights: 10 }, after: { nights: 10 } });
    await expect(rig.run(['compare'])).rejects.toThrow(/nothing to compare/);
    await expect(rig.run(['compare', '--note', '1', '--before', '..2026-01-10'])).rejects.toThrow(/exclude/);
    await expect(rig.run(['compare', '--note', '7'])).rejects.toThrow(/no note 7/);
  });
});
