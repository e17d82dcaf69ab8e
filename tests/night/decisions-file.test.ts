import {
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { UsageError } from '../../src/errors.js';
import { decisionsFileName, readDecisions, recordDecision } from '../../src/night/decisions-file.js';

let folder: string;
beforeEach(() => (folder = mkdtempSync(join(tmpdir(), 'decisions-'))));
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const frame = (file: string) => ({ path: join(folder, file), file });

describe('decisions of a person', () => {
  it('are kept beside the frames and read back by the names of the night', () => {
    mkdirSync(join(folder, 'red'));
    recordDecision(join(folder, 'a.fits'), 'keep');
    recordDecision(join(folder, 'red', 'b.fits'), 'reject');
    const found = [
      frame('a.fits'),
      { path: join(folder, 'red', 'b.fits'), file: 'red/b.fits' },
      frame('c.fits'),
    ];
    expect([...readDecisions(found)]).toEqual([
      ['a.fits', 'keep'],
      ['red/b.fits', 'reject'],
    ]);
    expect(readdirSync(folder).sort()).toEqual(['red', decisionsFileName]);
  });

  it('can be changed and forgotten; the last one forgotten takes the file away', () => {
    recordDecision(join(folder, 'a.fits'), 'keep');
    recordDecision(join(folder, 'a.fits'), 'reject');
    expect(readDecisions([frame('a.fits')]).get('a.fits')).toBe('reject');
    recordDecision(join(folder, 'a.fits'), null);
    expect(readdirSync(folder)).toEqual([]);
  });

  it.each(['__proto__', 'constructor', '"quoted"\n.fits', '../up.fits'])(
    'take the name %j as a name',
    (name) => {
      const path = `${folder}/${name.replace('../', '')}`;
      recordDecision(path, 'keep');
      expect(readDecisions([{ path, file: name }]).get(name)).toBe('keep');
      expect(({} as Record<string, unknown>).keep).toBeUndefined();
    },
  );

  it.each([
    'not JSON',
    '[]',
    '{"schema":"other","frames":{}}',
    '{"schema":"starassay/decisions@1","frames":{"a.fits":"maybe"}}',
    '{"schema":"starassay/decisions@1"}',
  ])('are refused, and never overwritten, when the file holds %s', (text) => {
    writeFileSync(join(folder, decisionsFileName), text);
    expect(() => readDecisions([frame('a.fits')])).toThrow(UsageError);
    expect(() => recordDecision(join(folder, 'a.fits'), 'keep')).toThrow(UsageError);
    expect(readFileSync(join(folder, decisionsFileName), 'utf8')).toBe(text);
  });

  it('are not followed through a link to somewhere else', () => {
    const elsewhere = join(folder, 'elsewhere.json');
    writeFileSync(elsewhere, '{"schema":"starassay/decisions@1","frames":{}}');
    symlinkSync(elsewhere, join(folder, decisionsFileName));
    expect(() => recordDecision(join(folder, 'a.fits'), 'keep')).toThrow(UsageError);
    expect(readFileSync(elsewhere, 'utf8')).toContain('"frames":{}');
  });

  it('say so when they cannot be written', () => {
    expect(() => recordDecision(join(folder, 'missing', 'a.fits'), 'keep')).toThrow(/cannot be written/);
  });
});
