import { mkdtempSync, rmSync, writeFileSync, existsSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import type { CliContext } from '../../src/cli/context.js';
import { eveningDate, eveningRange, numberOf, withStore } from '../../src/cli/rig-flags.js';

it('dates: written out, today, or an age', () => {
  const today = new Date(2026, 5, 30, 12);
  expect(eveningDate('2026-03-04')).toBe('2026-03-04');
  expect(eveningDate('today', today)).toBe('2026-06-30');
  expect(eveningDate('90d', today)).toBe('2026-04-01');
  expect(eveningDate('1y', today)).toBe('2025-06-30');
  for (const wrong of ['2026-02-30', '04.03.2026', 'yesterday', '', '6w']) {
    expect(() => eveningDate(wrong)).toThrow(/is not a date/);
  }
});

it('ranges: either end may be left out', () => {
  expect(eveningRange('2026-01-01..2026-02-01')).toEqual({ from: '2026-01-01', to: '2026-02-01' });
  expect(eveningRange('..2026-02-01')).toEqual({ from: null, to: '2026-02-01' });
  expect(eveningRange('2026-02-01..')).toEqual({ from: '2026-02-01', to: null });
  for (const wrong of ['..', '2026-01-01', 'a..b']) expect(() => eveningRange(wrong)).toThrow(/is not a/);
});

it('numbers', () => {
  expect(numberOf('-0.5', '--spacing')).toBe(-0.5);
  for (const wrong of ['', 'x', 'NaN'])
    expect(() => numberOf(wrong, '--spacing')).toThrow(/--spacing wants a number/);
});

it('the history: --db, then the configuration file, then the usual place; failures in words', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'starassay-flags-'));
  const context = {
    cwd: folder,
    env: { STARASSAY_CONFIG_DIR: folder, STARASSAY_DB: join(folder, 'usual.sqlite') },
  } as unknown as CliContext;
  expect(await withStore({}, context, 'write', (store) => store.path)).toBe(join(folder, 'usual.sqlite'));
  writeFileSync(join(folder, 'starassay.yaml'), 'db: mine.sqlite\nreport: night.html\n');
  expect(await withStore({}, context, 'write', (store) => store.path)).toBe(join(folder, 'mine.sqlite'));
  expect(await withStore({ db: 'named.sqlite' }, context, 'write', (store) => store.path)).toBe(
    join(folder, 'named.sqlite'),
  );
  expect(existsSync(join(folder, 'named.sqlite'))).toBe(true);
  const failing = () => {
    throw Object.assign(new Error('x'), { code: 'SQLITE_CORRUPT' });
  };
  await expect(withStore({}, context, 'write', failing)).rejects.toThrow(/is damaged/);
  rmSync(folder, { recursive: true });
});
