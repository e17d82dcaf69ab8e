import { describe, expect, it } from 'vitest';
import { calmFrames } from './judge.js';
import { madeNight } from './made-night.js';
import { lightLoss } from '../../src/causes/light-loss.js';
import { nightSeries } from '../../src/causes/night-series.js';

const loss = (make: Parameters<typeof calmFrames>[1]) =>
  lightLoss(nightSeries(madeNight({ frames: calmFrames(10, make) })));

describe('lightLoss', () => {
  it('leans to dew for a steady fall with halos, to cloud for a dip', () => {
    expect(loss((k) => ({ transparency: 1 - 0.05 * k, halo: 0.01 * k }))!.dewLogOdds).toBeGreaterThan(1);
    const dip = loss((k) => ({ transparency: k > 3 && k < 7 ? 0.5 : 1 }))!;
    expect(dip.dewLogOdds).toBeLessThan(-1);
    expect(dip.recovered).toBeGreaterThan(0.8);
    expect(dip.lost.filter((f) => f.confidence > 0.5)).toHaveLength(3);
  });

  it('takes a loss that is there from one frame to the next for cloud, though it stays', () => {
    const bank = loss((k) => ({ transparency: k < 5 ? 1 : 0.4 }))!;
    const film = loss((k) => ({ transparency: k < 5 ? 1 : 1 - 0.12 * (k - 4) }))!;
    expect(bank.dewLogOdds).toBeLessThan(film.dewLogOdds - 1.5);
    expect(bank.dewLogOdds).toBeLessThan(0);
  });

  it('lets cloud that passed before the dew came stand apart from it', () => {
    const both = loss((k) => ({
      transparency: k === 1 || k === 2 ? 0.6 : k < 5 ? 1 : 1 - 0.08 * (k - 4),
      halo: k < 5 ? 0 : 0.02 * (k - 4),
    }))!;
    expect(both.lost.map((f) => f.passed)).toEqual(Array.from({ length: 10 }, (_, k) => k === 1 || k === 2));
    expect(both.dewLogOdds).toBeGreaterThan(0);
  });

  it('is null with fewer than three transparencies', () => {
    expect(loss((k) => ({ transparency: k < 2 ? 1 : (null as unknown as number) }))).toBeNull();
  });
});
