import type { Random } from './random.js';
import type { Scenario } from './scenario.js';

/** Focus and air of one frame. */
export interface FocusMoment {
  readonly airTemperatureC: number;
  /** Image surface relative to the sensor, filter included, micrometres. */
  readonly focusMicron: number;
  readonly focuserStep: number;
}

/**
 * Focus through the night: the tube follows the air, the focuser is set again where the scenario says so.
 *
 * `hours`: start of each frame since the night began; `filterMicron`: shift of each frame's filter; `commanded`: the sensor's
 * place for each frame relative to best focus, micrometres outwards, in a sweep; null in an ordinary night.
 */
export function focusSeries(
  scenario: Scenario,
  hours: readonly number[],
  filterMicron: readonly number[],
  commanded: readonly number[] | null,
  random: Random,
): readonly FocusMoment[] {
  const { focus, temperature, telescope } = scenario;
  const moments: FocusMoment[] = [];
  let sensor = 0;
  let wander = 0;
  for (let i = 0; i < hours.length; i++) {
    const frame = i + 1;
    const dropped = temperature.drops.reduce(
      (sum, drop) => sum + (drop.beforeFrame <= frame ? drop.byC : 0),
      0,
    );
    const air = temperature.startC - temperature.dropPerHourC * hours[i] - dropped;
    const thermal = focus.micronPerKelvin * (air - temperature.startC);
    if (i > 0) wander += focus.wanderMicron * random.normal();
    const surface = focus.startMicron + thermal + wander + filterMicron[i];
    if (commanded)
      sensor = Math.round(commanded[i] / telescope.focuserMicronPerStep) * telescope.focuserMicronPerStep;
    else if (focus.refocusBefore.includes(frame)) {
      sensor = surface + focus.refocusScatterMicron * random.normal();
    }
    moments.push({
      airTemperatureC: air,
      focusMicron: surface - sensor,
      focuserStep: Math.round(telescope.focuserBestStep + sensor / telescope.focuserMicronPerStep),
    });
  }
  return moments;
}
