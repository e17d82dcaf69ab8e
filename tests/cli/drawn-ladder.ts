import { mkdirSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { parseScenario, simulateNight } from '../../src/simulate/index.js';

/** Draw a small ladder of two sweeps (spacing-54.00 and spacing-56.00, best at 55 mm) into a folder, as FITS files. */
export function drawLadder(folder: string, spacingsMm: readonly number[]): void {
  const scenario = parseScenario(
    {
      name: 'ladder',
      seed: 4,
      frames: 5,
      sweep: { rangeMicron: 240 },
      ladder: { spacingsMm },
      seeing: { arcsec: 3, spread: 0.1, memory: 0 },
      optics: { tilt: { spanMicron: 30, directionDeg: 45 }, spacing: { curvatureMicronPerMm: 50 } },
      camera: { widthPx: 420, heightPx: 300, cosmicRaysPerMinute: 0 },
      stars: { count: 110, faintest: 60 },
    },
    'test',
  );
  for (const { file, bytes } of simulateNight(scenario)) {
    const path = join(folder, file);
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, bytes);
  }
}
