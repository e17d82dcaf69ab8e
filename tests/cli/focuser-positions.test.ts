import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { checkPositionFlags, withFocuserPositions } from '../../src/cli/focuser-positions.js';
import type { FrameAssessment } from '../../src/field/types.js';

const card = (text: string): string => text.padEnd(80);
let folder: string;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'positions-'));
  const header = [
    'SIMPLE  =                    T',
    'BITPIX  =                    8',
    'NAXIS   =                    2',
    'NAXIS1  =                    1',
    'NAXIS2  =                    1',
    'MYFOC   =                 4711',
    "NAMED   = 'Focuser one'",
    'END',
  ];
  writeFileSync(join(folder, 'a.fits'), header.map(card).join('').padEnd(2880) + '\0'.repeat(2880));
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

const found = ['a.fits', 'b.fits'].map((file) => ({ file, path: `/x/${file}` }));
const frame = (path: string): FrameAssessment =>
  ({ path, header: { focuserPosition: 5 }, image: { hdu: 0 } }) as unknown as FrameAssessment;
const positionsOf = async (...args: Parameters<typeof withFocuserPositions>) =>
  (await withFocuserPositions(...args)).map((f) => f.header.focuserPosition);

describe('focuser positions that the user names', () => {
  it('go by the order of the files, also when one of them could not be read', async () => {
    expect(await positionsOf([frame('/x/b.fits')], found, { positions: [10, 20] })).toEqual([20]);
  });

  it('come from another keyword, in any case; null where it is no number or missing', async () => {
    const here = [frame(join(folder, 'a.fits'))];
    expect(await positionsOf(here, found, { positionKeyword: 'myfoc' })).toEqual([4711]);
    expect(await positionsOf(here, found, { positionKeyword: 'NAMED' })).toEqual([null]);
    expect(await positionsOf(here, found, { positionKeyword: 'NOWHERE' })).toEqual([null]);
  });

  it('stay those of the header without such a flag', async () => {
    expect(await positionsOf([frame('/x/a.fits')], found, {})).toEqual([5]);
  });

  it('are refused when they do not go with the files or are said twice', () => {
    expect(() => checkPositionFlags({ positions: [1] }, found)).toThrow('1 positions for 2 files');
    expect(() => checkPositionFlags({ positionKeyword: 'X', positionPattern: 'x{step}' }, found)).toThrow(
      'both say',
    );
    expect(() => checkPositionFlags({ positions: [1, 2] }, found)).not.toThrow();
  });
});
