import { nightPage } from '../../src/report/page/night-page.js';
import { syntheticNight } from '../report/synthetic-night.js';

/** The compared page: a made-up night of five subs with a history, without pictures (encoders differ between versions of their library). */
export function goldenPage(): string {
  const night = syntheticNight({ frames: 5, filters: ['L'] });
  const history = {
    rig: 'garden refractor',
    nights: 12,
    unusual: [
      {
        metric: 'tilt',
        value: 38,
        error: 4,
        unit: 'µm',
        normalLow: 0,
        normalHigh: 19,
        nights: 12,
        sentence: 'Sensor tilt of the whole night is 38.0 µm; normal for this rig is 0.0 to 19.0 µm.',
      },
    ],
    spacing: null,
  };
  return nightPage({ ...night, night: { ...night.night, history } }, { pictures: false });
}

/** Where it is kept. */
export const goldenPageFile = new URL('night-page.html', import.meta.url);
