import { expect, it } from 'vitest';
import { parseSimulatedYear } from '../../../src/rig/documents/simulated-year.js';
import { openStore } from '../../../src/rig/store.js';
import { recordNight } from '../../../src/rig/record-night.js';
import { simulateRigYear } from '../../../src/simulate/index.js';

it('a simulated year can be recorded, with the notes its owner made', () => {
  const simulated = simulateRigYear({ seed: 3, days: 60, framesPerNight: 12 });
  const { nights, notes } = parseSimulatedYear(JSON.stringify(simulated), 'year.json');
  expect(nights).toHaveLength(simulated.nights.length);
  expect(notes.map((note) => note.text)).toEqual(simulated.events.flatMap((event) => event.note ?? []));
  const store = openStore(':memory:');
  for (const night of nights) recordNight(store, night);
  const metrics = store.db
    .prepare("SELECT DISTINCT metric FROM figure WHERE filter = ''")
    .pluck()
    .all() as string[];
  for (const metric of ['tilt', 'curvature', 'tracking', 'guiding-ra', 'fwhm-zenith', 'focal-length'])
    expect(metrics).toContain(metric);
  expect(store.db.prepare('SELECT count(*) FROM night').pluck().get()).toBe(nights.length);
  store.close();
});

it('refuses anything else', () => {
  expect(() => parseSimulatedYear('no json', 'x')).toThrow(/x is not a simulated rig-year/);
  expect(() => parseSimulatedYear('{"schema":"starassay/night@1"}', 'x')).toThrow(
    /not a simulated rig-year: schema/,
  );
});
