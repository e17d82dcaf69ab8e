import type { TrackingPath } from './rays.js';
import type { FaultOf, Fault } from './scenario-faults.js';
import type { Random } from './random.js';

/** Unit vector of an axis in the pixel frame; `raAxisDeg`: pixel-frame angle of right ascension. */
function direction(axis: 'ra' | 'dec' | number, raAxisDeg: number): readonly [number, number] {
  const angle = axis === 'ra' ? raAxisDeg : axis === 'dec' ? raAxisDeg + 90 : axis;
  return [Math.cos((angle * Math.PI) / 180), Math.sin((angle * Math.PI) / 180)];
}

/** What the mount does in one frame, before faults. */
export interface OrdinaryTracking {
  /** RMS in right ascension and declination, arcsec. */
  readonly raArcsec: number;
  readonly decArcsec: number;
}

/** A fault with its strength 0..1 in this frame. */
export interface ActiveFault<K extends Fault['kind'] = Fault['kind']> {
  readonly fault: FaultOf<K>;
  readonly strength: number;
}

/**
 * Path of a star over one exposure, pixels: ordinary guiding plus the guiding and wind faults at work.
 *
 * `startSeconds`: since the night began (phase of the periodic error); `arcsecPerPx`; `raAxisDeg`: pixel-frame angle of the RA axis.
 */
export function trackingPath(
  ordinary: OrdinaryTracking,
  faults: readonly ActiveFault[],
  startSeconds: number,
  exposureSeconds: number,
  arcsecPerPx: number,
  raAxisDeg: number,
  random: Random,
): TrackingPath {
  const jitter: [number, number, number] = [0, 0, 0];
  const addJitter = (rmsArcsec: number, [x, y]: readonly [number, number]): void => {
    const variance = (rmsArcsec / arcsecPerPx) ** 2;
    jitter[0] += variance * x * x;
    jitter[1] += variance * x * y;
    jitter[2] += variance * y * y;
  };
  addJitter(ordinary.raArcsec, direction('ra', raAxisDeg));
  addJitter(ordinary.decArcsec, direction('dec', raAxisDeg));

  const motions: ((time: number) => readonly [number, number])[] = [];
  for (const { fault, strength } of faults) {
    if (fault.kind === 'guiding') {
      const [x, y] = direction(fault.axis, raAxisDeg);
      addJitter(fault.jitterArcsec * strength, [x, y]);
      const drift = (fault.driftArcsec * strength) / arcsecPerPx;
      const swing = (fault.periodicArcsec * strength) / arcsecPerPx;
      const jump = (fault.jumpArcsec * strength) / arcsecPerPx;
      const jumpAt = 0.3 + 0.4 * random.uniform();
      motions.push((time) => {
        const phase = (2 * Math.PI * (startSeconds + time * exposureSeconds)) / fault.periodSeconds;
        const along = drift * (time - 0.5) + swing * Math.sin(phase) + (time > jumpAt ? jump : 0);
        return [along * x, along * y];
      });
    } else if (fault.kind === 'wind') {
      // Gusts: no two frames are shaken alike, in strength or in direction.
      const gust = strength * Math.exp(fault.gustiness * 0.6 * random.normal());
      const angle = fault.angleDeg + 20 * fault.gustiness * random.normal();
      addJitter(fault.rmsArcsec * gust, direction(angle, 0));
      addJitter(fault.rmsArcsec * gust * fault.acrossRatio, direction(angle + 90, 0));
    }
  }
  return {
    jitter,
    at: (time) => {
      let x = 0;
      let y = 0;
      for (const motion of motions) {
        const [dx, dy] = motion(time);
        x += dx;
        y += dy;
      }
      return [x, y];
    },
  };
}
