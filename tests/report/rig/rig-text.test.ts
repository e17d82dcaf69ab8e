import stringWidth from 'string-width';
import { expect, it } from 'vitest';
import {
  notesText,
  rigCompareText,
  rigListText,
  rigStatusText,
  rigTrendText,
} from '../../../src/report/rig/rig-text.js';
import { listRigs, rigCompare, rigStatus } from '../../../src/rig/index.js';
import { madeStore, onlyRig, wobble } from '../../rig/made-history.js';
import { stepNote, trends } from './trend-fixture.js';

const plain = { columns: 60, color: false };
const fits = (text: string) =>
  expect(Math.max(...text.split('\n').map((line) => stringWidth(line)))).toBeLessThanOrEqual(60);

it('trend: bars, a mark under the note, findings, within the width, nothing that acts on a terminal', () => {
  const text = rigTrendText({ ...trends, rig: { id: 'a', name: 'bad \u001b[2Jname' } }, plain);
  expect(text).not.toContain('\u001b');
  expect(text).toMatch(/Sensor tilt \[µm\]\n {2}[▁▂▃▄▅▆▇█]+\n +1\n/);
  fits(text);
  expect(rigTrendText({ ...trends, metrics: [], notes: [] }, plain)).toContain('None of these figures');
});

it('status, list, comparison and notes fit the width; colour only where allowed', () => {
  const store = madeStore(wobble(30).map((v, i) => ({ tiltMicron: (i < 20 ? 12 : 40) + v })));
  const rig = onlyRig(store);
  const status = rigStatus(store, rig);
  const text = rigStatusText(status, plain);
  expect(text).toMatch(/! Sensor tilt left its normal level/);
  fits(text);
  expect(rigStatusText(status, { columns: 60, color: true })).toContain('\u001b[33m');
  expect(
    rigStatusText({ ...status, metrics: [], absent: { tilt: 'only 3 nights so far' } }, plain),
  ).toContain('No normal range yet: tilt (only 3 nights so far).');
  fits(rigListText(listRigs(store), plain));
  expect(rigListText([], plain)).toBe('No rig recorded yet.\n');
  const comparison = rigCompare(
    store,
    rig,
    { from: null, to: '2026-01-20' },
    { from: '2026-01-21', to: null },
  );
  const compared = rigCompareText(comparison, plain);
  fits(compared);
  expect(compared).toMatch(/^! Sensor tilt rose/m);
  expect(compared.match(/^= No change to speak of: /gm)).toHaveLength(1);
  const unsure = comparison.metrics.map((metric) => ({
    ...metric,
    verdict: 'cannot-tell' as const,
    moreNights: 7,
  }));
  const folded = rigCompareText({ ...comparison, metrics: unsure }, plain);
  fits(folded);
  expect(folded.replace(/\s+/g, ' ')).toContain(
    '? Too uncertain to tell: Sensor tilt (about 7 more nights would), Tilt along x',
  );
  expect(rigCompareText({ ...comparison, metrics: [unsure[0]] }, plain)).toContain(`? ${unsure[0].title}`);
  expect(rigCompareText({ ...comparison, metrics: [] }, plain)).toContain(
    'No figure was measured both before and after.',
  );
  store.close();
  expect(
    notesText([stepNote, { ...stepNote, kind: 'automatic', spacingMm: null }], {
      columns: null,
      color: false,
    }),
  ).toBe(
    '  1 2026-02-10 thread <b>instead</b> of "draw tube" (spacing +0.50 mm)\n  ^ 2026-02-10 thread <b>instead</b> of "draw tube"\n',
  );
});
