import { mkdir } from 'node:fs/promises';
import { join } from 'node:path';
import { checkOutputFolder, RIG_YEAR_FILE, writeWhole } from './output-folder.js';
import { simulateRigYear } from './rig-year.js';
import type { RigYear, RigYearOptions } from './rig-year.js';

/** Write a simulated year as rig-year.json into a folder, by the same rules as frames. Throws UsageError. */
export async function writeRigYear(
  options: RigYearOptions,
  folder: string,
  replace: boolean,
): Promise<RigYear> {
  await checkOutputFolder(folder, [RIG_YEAR_FILE], replace);
  const year = simulateRigYear(options);
  await mkdir(folder, { recursive: true });
  await writeWhole(join(folder, RIG_YEAR_FILE), JSON.stringify(year, roundNumbers, 1) + '\n');
  return year;
}

function roundNumbers(_key: string, value: unknown): unknown {
  return typeof value === 'number' && !Number.isInteger(value) ? Number(value.toPrecision(6)) : value;
}
