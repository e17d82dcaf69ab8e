import { trailOnSky } from '../field/index.js';
import type { SkyOrientation } from '../optics/types.js';

export type MountAxis = 'ra' | 'dec' | 'other' | 'unknown';

/** A trail's axis with the weight it has among others. */
export interface WeighedAxis {
  readonly angleDeg: number;
  readonly weight: number;
}

/**
 * Mean of axes, as vectors of twice their angle, so that 179 and 1 degree meet at 0: degrees in [0, 180), NaN without any; and how well they
 * agree (0 all different, 1 all the same; every axis counts alike there).
 */
export function meanAxis(axes: readonly WeighedAxis[]): { angleDeg: number; agreement: number } {
  if (axes.length === 0) return { angleDeg: NaN, agreement: 0 };
  const sum = (weight: (a: WeighedAxis) => number): [number, number] =>
    axes.reduce<[number, number]>(
      ([c, s], a) => {
        const angle = (a.angleDeg * Math.PI) / 90;
        return [c + weight(a) * Math.cos(angle), s + weight(a) * Math.sin(angle)];
      },
      [0, 0],
    );
  const [c, s] = sum((a) => a.weight);
  return {
    angleDeg: ((Math.atan2(s, c) * 90) / Math.PI + 180) % 180,
    agreement: Math.hypot(...sum(() => 1 / axes.length)),
  };
}

/** A trail in the pixel frame, with how that frame lies on the sky. */
export interface PlacedAxis extends WeighedAxis {
  readonly orientation: SkyOrientation | null;
}

/**
 * Which axis of the mount trails run along: by the mean position angle of those with a WCS (each by its own), else supposing the camera is
 * squared on (common practice). `skyAngleDeg`: north through east, null without a WCS.
 */
export function mountAxis(trails: readonly PlacedAxis[]): {
  readonly axis: MountAxis;
  readonly source: 'wcs' | 'pixel-axes';
  readonly skyAngleDeg: number | null;
} {
  if (trails.length === 0) return { axis: 'unknown', source: 'pixel-axes', skyAngleDeg: null };
  const onSky = trails.flatMap(({ angleDeg, weight, orientation }) =>
    orientation === null ? [] : [{ angleDeg: along(angleDeg, orientation).skyAngleDeg ?? NaN, weight }],
  );
  if (onSky.length === 0) {
    const { axis } = along(meanAxis(trails).angleDeg, null);
    return { axis: axis ?? 'other', source: 'pixel-axes', skyAngleDeg: null };
  }
  const skyAngleDeg = meanAxis(onSky).angleDeg;
  // On the sky itself north is the axis that angles count from.
  const { axis } = along(skyAngleDeg, { northDeg: 0, eastDeg: 90, parity: 1 });
  return { axis: axis ?? 'other', source: 'wcs', skyAngleDeg };
}

/** The gates are those by which a frame's own trail is named. */
function along(angleDeg: number, orientation: SkyOrientation | null): ReturnType<typeof trailOnSky> {
  return trailOnSky({ angleDeg, coherence: 1 }, Infinity, orientation);
}
