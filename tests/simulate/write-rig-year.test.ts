import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import type { RigYear } from '../../src/simulate/rig-year.js';
import { writeRigYear } from '../../src/simulate/write-rig-year.js';

const folder = mkdtempSync(join(tmpdir(), 'starassay-'));
afterAll(() => rmSync(folder, { recursive: true }));

describe('writeRigYear', () => {
  it('writes one document, and again only with replace', async () => {
    const year = await writeRigYear({ framesPerNight: 4, days: 60 }, folder, false);
    const written = JSON.parse(readFileSync(join(folder, 'rig-year.json'), 'utf8')) as RigYear;
    expect(written.schema).toBe('starassay/rig-year@1');
    expect(written.nights.length).toBe(year.nights.length);
    await expect(writeRigYear({ days: 60 }, folder, false)).rejects.toThrow(/not empty/);
    await writeRigYear({ days: 60 }, folder, true);
  });
});
