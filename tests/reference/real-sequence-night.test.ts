import { existsSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { beforeAll, describe, expect, it } from 'vitest';
import { defaultFrameOptions } from '../../src/field/index.js';
import { defaultLimits, findLightFrames, judgeNight, type JudgedNight } from '../../src/night/index.js';
import { assessFrames } from '../../src/pool/index.js';

// Twenty-five real exposures of one crowded field (SAAO 1.0 m, 2013; published with pyDIA under MIT). Beside them lie figures of an independent library (SEP,
// astropy): `metrics.csv` with the registration of each frame on one reference, `relative_flux.csv` with fluxes per second relative to it.
const folder = fileURLToPath(new URL('../../../shared/reference/sequence', import.meta.url));
const present = existsSync(folder);

function readTable(name: string): Map<string, Record<string, string>> {
  const [head, ...rows] = readFileSync(join(folder, name), 'utf8').trim().split('\n');
  const names = head!.split(',');
  return new Map(
    rows.map((row) => {
      const fields = row.split(',');
      return [fields[0]!, Object.fromEntries(names.map((field, i) => [field, fields[i]!]))];
    }),
  );
}

const middle = (values: number[]): number => values.sort((a, b) => a - b)[Math.floor(values.length / 2)]!;

describe.skipIf(!present)(
  `the real sequence as one night${present ? '' : ' (its files are not there)'}`,
  () => {
    let night: JudgedNight;
    const original = (file: string): string => file.replace('.gz', '');
    beforeAll(async () => {
      const measured = await assessFrames(await findLightFrames([folder], folder), {
        frame: defaultFrameOptions,
        threads: 0,
        signal: null,
        onProgress: null,
        memory: null,
      });
      night = judgeNight(measured.frames, defaultLimits);
    }, 120_000);

    it('is grouped by exposure time and sorted by DATE-OBS with UT', () => {
      expect(night.groups.map((group) => [group.name.split(', ').at(-1), group.frames]).sort()).toEqual([
        ['150 s', 3],
        ['200 s', 5],
        ['300 s', 15],
        ['400 s', 2],
      ]);
      const metrics = readTable('metrics.csv');
      const time = (file: string): string => {
        const row = metrics.get(original(file))!;
        return `${row['DATE-OBS']}T${row['UT']}`;
      };
      const times = night.frames.map((frame) => time(frame.file));
      expect(times).toEqual([...times].sort());
    });

    it('has every frame registered, across exposure times, where the independent library puts it', () => {
      const metrics = readTable('metrics.csv');
      expect(night.frames.filter((frame) => frame.registration === null)).toEqual([]);
      const reference = night.frames.find((frame) => frame.registration!.rmsPx === 0)!;
      const shift = (file: string): [number, number] => {
        const row = metrics.get(original(file))!;
        return [Number(row['reg_tx']), Number(row['reg_ty'])];
      };
      const [x0, y0] = shift(reference.file);
      for (const { file, registration } of night.frames) {
        const [x, y] = shift(file);
        // Both fits scatter by some 0.05 px, and rotation moves the corner by up to 0.02 degrees x 512 px = 0.2 px.
        expect(Math.abs(registration!.dxPx - (x - x0))).toBeLessThan(0.4);
        expect(Math.abs(registration!.dyPx - (y - y0))).toBeLessThan(0.4);
        expect(registration!.flipped).toBe(false);
      }
    });

    it('has transparencies as the fluxes per second of the independent library, within 10 % in the median', () => {
      const table = readTable('relative_flux.csv');
      const ratios = night.frames.map(
        (frame) => frame.transparency! / Number(table.get(original(frame.file))!['relflux_per_s']),
      );
      const scale = middle([...ratios]);
      // The limit that the design aims at; measured 2 %. The library's fixed aperture loses light in the worst seeing, where they differ most.
      expect(middle(ratios.map((ratio) => Math.abs(ratio / scale - 1)))).toBeLessThan(0.1);
    });

    it('rejects the frames that lost more than half of their light to cloud', () => {
      const table = readTable('relative_flux.csv');
      for (const frame of night.frames) {
        if (Number(table.get(original(frame.file))!['relflux_per_s']) > 0.6) continue;
        expect(frame.decision).toBe('reject');
        expect(frame.reasons.map((reason) => reason.code)).toContain('transparency');
      }
    });
  },
);
