import { describe, expect, it } from 'vitest';
import { addNote, findNote } from '../../src/rig/notes.js';
import { rangesAroundNote, rigCompare } from '../../src/rig/rig-compare.js';
import { evenings, madeStore, onlyRig, wobble } from './made-history.js';

const tilts = (...levels: readonly (readonly [value: number, count: number])[]) =>
  levels.flatMap(([value, count]) => wobble(count).map((v) => ({ tiltMicron: value + v })));

describe('before and after', () => {
  it('a change shows with shift, interval and words', () => {
    const store = madeStore(tilts([38, 12], [9, 12]));
    const rig = onlyRig(store);
    addNote(store, rig.id, { date: '2026-01-13', text: 'draw tube replaced by thread' });
    const note = findNote(store, rig.id, 1);
    const { before, after } = rangesAroundNote(store, rig.id, note);
    const comparison = rigCompare(store, rig, before, after, { note, metrics: ['tilt'] });
    expect(comparison).toMatchObject({
      schema: 'starassay/rig-compare@1',
      before: { nights: 12 },
      after: { nights: 12 },
    });
    const [tilt] = comparison.metrics;
    expect(tilt.verdict).toBe('better');
    expect(tilt.shift).toBeCloseTo(-29, 0);
    expect(tilt.sentence).toMatch(
      /^Sensor tilt fell from 3\d\.\d to \d\.\d µm \(95 %: 2\d\.\d to \d\d\.\d µm less\) after "draw tube replaced by thread" \(2026-01-13\)\.$/,
    );
    store.close();
  });

  it('with too few nights it says so, and how many more would do', () => {
    const store = madeStore(tilts([14, 30], [12.6, 3]));
    const rig = onlyRig(store);
    const [tilt] = rigCompare(
      store,
      rig,
      { from: null, to: '2026-01-30' },
      { from: '2026-01-31', to: null },
      { metrics: ['tilt'] },
    ).metrics;
    expect(tilt.verdict).toBe('cannot-tell');
    expect(tilt.moreNights).toBeGreaterThan(0);
    expect(tilt.sentence).toMatch(
      /the data cannot tell \(30 nights before, 3 after; .*about \d+ more nights? would show it\./,
    );
    store.close();
  });

  it('a change that came at another time is not laid to this one', () => {
    const store = madeStore(tilts([14, 14], [40, 30]));
    const rig = onlyRig(store);
    const [first] = evenings('2026-01-15', 1);
    const [tilt] = rigCompare(
      store,
      rig,
      { from: null, to: '2026-01-29' },
      { from: '2026-01-30', to: null },
      { metrics: ['tilt'] },
    ).metrics;
    expect(tilt).toMatchObject({ verdict: 'changed', elsewhere: { date: first, drift: null } });
    expect(tilt.sentence).toMatch(/but the change came on 2026-01-15/);
    store.close();
  });

  it('nor is a drift through both ranges', () => {
    const store = madeStore(wobble(60).map((v, i) => ({ tiltMicron: 20 + v + 0.3 * i })));
    const [tilt] = rigCompare(
      store,
      onlyRig(store),
      { from: null, to: '2026-01-30' },
      { from: '2026-01-31', to: null },
      { metrics: ['tilt'] },
    ).metrics;
    expect(tilt).toMatchObject({
      verdict: 'changed',
      elsewhere: { date: null, drift: { from: '2026-01-01', to: '2026-03-01' } },
    });
    store.close();
  });

  it('a note is judged between its neighbours', () => {
    const store = madeStore(tilts([20, 12]));
    const { id } = onlyRig(store);
    for (const date of ['2026-01-03', '2026-01-06', '2026-01-09'])
      addNote(store, id, { date, text: 'a change' });
    expect(rangesAroundNote(store, id, findNote(store, id, 2))).toEqual({
      before: { from: '2026-01-03', to: '2026-01-05' },
      after: { from: '2026-01-06', to: '2026-01-08' },
    });
    expect(rangesAroundNote(store, id, findNote(store, id, 1)).before).toEqual({
      from: null,
      to: '2026-01-02',
    });
    store.close();
  });

  it('nights before an earlier change, that nobody noted, do not muddle what the noted one did', () => {
    const store = madeStore(wobble(60).map((v, i) => ({ tiltMicron: v + (i < 20 ? 12 : i < 40 ? 46 : 11) })));
    const rig = onlyRig(store);
    addNote(store, rig.id, { date: '2026-02-10', text: 'threaded adapter' });
    const note = findNote(store, rig.id, 1);
    const { before, after } = rangesAroundNote(store, rig.id, note);
    const [tilt] = rigCompare(store, rig, before, after, { note, metrics: ['tilt'] }).metrics;
    expect(tilt).toMatchObject({
      verdict: 'better',
      elsewhere: null,
      before: { nights: 20, since: '2026-01-21' },
    });
    expect(tilt.shift).toBeCloseTo(-35, 0);
    // Ranges named by hand are taken as they are named.
    const [asked] = rigCompare(store, rig, before, after, { metrics: ['tilt'] }).metrics;
    expect(asked.before).toMatchObject({ nights: 40, since: null });
    store.close();
  });

  it('a decay that began about the time of a note is not laid to it; its cure is compared with where the decay led', () => {
    const store = madeStore(
      wobble(120).map((v, i) => ({ tiltMicron: 12 + v + (i >= 40 && i < 80 ? 0.5 * (i - 40) : 0) })),
    );
    const rig = onlyRig(store);
    const days = evenings('2026-01-01', 120);
    addNote(store, rig.id, { date: days[40], text: 'spacer' });
    addNote(store, rig.id, { date: days[80], text: 'cured' });
    const compared = (number: number) => {
      const note = findNote(store, rig.id, number);
      const { before, after } = rangesAroundNote(store, rig.id, note);
      return rigCompare(store, rig, before, after, { note, metrics: ['tilt'] }).metrics[0];
    };
    expect(compared(1).verdict).toBe('changed');
    expect(compared(1).sentence).toContain('but slowly, in a drift from 2026-0');
    const cured = compared(2);
    expect(cured).toMatchObject({ verdict: 'better', elsewhere: null });
    // Twenty at the end of the decay, ten in its middle.
    expect(Math.abs(cured.shift + 20)).toBeLessThan(2);
    expect(cured.low!).toBeLessThan(-20);
    store.close();
  });

  it('what one side lacks is named', () => {
    const store = madeStore([...tilts([20, 5]), { tiltMicron: null }, { tiltMicron: null }]);
    const comparison = rigCompare(
      store,
      onlyRig(store),
      { from: null, to: '2026-01-05' },
      { from: '2026-01-06', to: null },
    );
    expect(comparison.absent.tilt).toBe('not measured after');
    expect(comparison.absent['focus-law']).toBe('not measured on any of these nights');
    store.close();
  });

  it('of many figures that did not move, hardly one is claimed', () => {
    const store = madeStore(
      wobble(40).map((v, i) => ({
        tiltMicron: 20 + v,
        curvatureMicron: -30 + 3 * Math.sin(i * 2.3),
        trackingArcsec: 0.9 + 0.1 * Math.cos(i * 5.1),
        elongation: 1.1 + 0.02 * Math.sin(i * 7.7),
        fwhmArcsec: 2.5 + 0.3 * Math.cos(i * 3.3),
      })),
    );
    const { metrics } = rigCompare(
      store,
      onlyRig(store),
      { from: null, to: '2026-01-20' },
      { from: '2026-01-21', to: null },
    );
    expect(metrics.length).toBeGreaterThan(8);
    expect(metrics.filter(({ verdict }) => verdict !== 'cannot-tell' && verdict !== 'unchanged')).toEqual([]);
    store.close();
  });
});
