import type { FitCell, FitFrame } from '../../src/night/joint-fit-data.js';
import {
  frameOptics,
  predictCellValues,
  predictSkew,
  type FrameParameters,
  type SharedParameters,
} from '../../src/night/joint-fit-model.js';

/** Frames of a 5 x 5 grid that follow the model exactly, for the arithmetic of the fit. */
export function exactFrames(
  shared: SharedParameters,
  owns: readonly FrameParameters[],
  more: (k: number) => Partial<FitFrame> = () => ({}),
): FitFrame[] {
  return owns.map((own, k) => {
    const frame: FitFrame = {
      index: k,
      file: `f${k}`,
      cells: [],
      meanIso: own.seeing,
      course: { key: '', sensorPx: 0, temperatureC: null, order: k },
      side: 1,
      exposure: 1,
      skewData: 0,
      widthRatio: null,
      widthRatioError: Infinity,
      ...more(k),
    };
    const values = new Float64Array(3);
    const optics = frameOptics(shared, own, frame);
    const skew = { value: new Float64Array(2), byComa: new Float64Array(6) };
    const cells: FitCell[] = [];
    for (let row = -2; row <= 2; row++)
      for (let column = -2; column <= 2; column++) {
        const u = column * 0.33;
        const v = row * 0.22;
        const bare: FitCell = {
          u,
          v,
          r2: u * u + v * v,
          iso: 1,
          plus: 0,
          cross: 0,
          isoError: 0.01,
          shearError: 0.007,
          skewX: NaN,
          skewY: NaN,
          skewError: 0.01,
        };
        predictCellValues(optics, bare, values);
        const cell = { ...bare, iso: values[0], plus: values[1], cross: values[2] };
        predictSkew(shared.comaG, shared.comaX, shared.comaY, cell, skew);
        cells.push({ ...cell, skewX: skew.value[0], skewY: skew.value[1] });
      }
    return { ...frame, cells, meanIso: cells.reduce((sum, c) => sum + c.iso, 0) / cells.length };
  });
}

export const SENSOR_MEANS = { r2: 1 / 3, r4: 0.15, u2: 0.23, v2: 0.1 };
