import { html } from '../html.js';
import type { SafeHtml } from '../html.js';
import { fixed, signed } from '../numbers.js';
import type { TrainReport } from './train-text.js';

const WIDTH = 960;
const LEFT = 60;
const RIGHT = 60;
const AXIS = 150;
const PER_LABEL = 18;

/**
 * The train drawn to scale along the axis, telescope left, sensor right, with the light cone of the sensor's corners and the wanted
 * length: a stand-alone SVG document (starassay wrote it). Widths are the clear apertures where known.
 */
export function trainSvg(report: TrainReport): string {
  const { train, sum, vignetting } = report;
  const longest = Math.max(sum.totalMm, sum.wantedMm, 1);
  const perMm = (WIDTH - LEFT - RIGHT) / longest;
  const x = (toSensorMm: number): number => LEFT + (longest - toSensorMm) * perMm;
  const widest = Math.max(30, ...vignetting.openings.flatMap((o) => [o.clearMm, o.neededMm]));
  const half = (mm: number): number => (mm / 2) * Math.min(perMm, 110 / (widest / 2));
  const clear = new Map(vignetting.openings.map((o) => [o.name, o]));
  const boxes: { name: string; from: number; to: number; glass: boolean }[] = [
    ...sum.parts.map(({ part, frontToSensorMm, rearToSensorMm }) => ({
      name: part.name,
      from: frontToSensorMm,
      to: rearToSensorMm,
      glass: part.glass !== null,
    })),
    { name: train.camera.name, from: train.camera.sensorDepthMm, to: 0, glass: train.camera.window !== null },
  ];
  const drawn = boxes.map((box, i) => drawBox(box, i, x, half(clear.get(box.name)?.clearMm ?? widest)));
  const labels = boxes.length;
  const height = 2 * AXIS + 40 + labels * PER_LABEL;
  const scaleY = 2 * AXIS + 6;
  const document = html`<svg
    xmlns="http://www.w3.org/2000/svg"
    viewBox="0 0 ${WIDTH} ${height}"
    role="img"
    font-family="system-ui, sans-serif"
    font-size="13"
  >
    <title>
      ${train.name}: ${fixed(sum.totalMm, 2)} mm, wanted ${fixed(sum.wantedMm, 2)} mm, error
      ${signed(sum.errorMm, 2)} mm
    </title>
    <desc>
      Drawn to scale by starassay: parts from the corrector on the left to the sensor on the right, with the
      light cone of the sensor.
    </desc>
    <rect width="${WIDTH}" height="${height}" fill="#fdfbf6" />
    ${drawn} ${drawCone(report, x, half)}
    <line
      x1="${p(x(0))}"
      x2="${p(x(0))}"
      y1="${p(AXIS - half(vignetting.diagonalMm ?? 20))}"
      y2="${p(AXIS + half(vignetting.diagonalMm ?? 20))}"
      stroke="#9c3d17"
      stroke-width="4"
    />
    <text x="${p(x(0) + 8)}" y="${p(AXIS + 4)}" fill="#23272c">sensor</text>
    <line
      x1="${p(x(sum.totalMm))}"
      x2="${p(x(sum.totalMm))}"
      y1="30"
      y2="${p(2 * AXIS - 20)}"
      stroke="#1d5570"
      stroke-width="3"
    />
    <text x="${p(x(sum.totalMm) - 4)}" y="22" fill="#23272c">${train.corrector.name}</text>
    <line
      x1="${p(x(sum.wantedMm))}"
      x2="${p(x(0))}"
      y1="${p(scaleY)}"
      y2="${p(scaleY)}"
      stroke="#9c3d17"
      stroke-dasharray="5 4"
    />
    <line
      x1="${p(x(sum.wantedMm))}"
      x2="${p(x(sum.wantedMm))}"
      y1="40"
      y2="${p(scaleY + 5)}"
      stroke="#9c3d17"
      stroke-dasharray="5 4"
    />
    <text x="${p(x(sum.wantedMm) + 6)}" y="${p(scaleY - 6)}" fill="#9c3d17">
      wanted ${fixed(sum.wantedMm, 2)} mm, there are ${fixed(sum.totalMm, 2)} mm (${signed(sum.errorMm, 2)}
      mm)
    </text>
    ${boxes.map((box, i) => html`<text x="${LEFT}" y="${2 * AXIS + 34 + i * PER_LABEL}" fill="#23272c">${i + 1} ${box.name}: ${fixed(box.from - box.to, 2)} mm</text>`)}
  </svg> `;
  return document.toString();
}

function p(value: number): string {
  return value.toFixed(1);
}

function drawBox(
  box: { name: string; from: number; to: number; glass: boolean },
  index: number,
  x: (toSensorMm: number) => number,
  halfWidth: number,
): SafeHtml {
  const left = x(box.from);
  const width = Math.max(1.5, x(box.to) - left);
  const fill = box.glass ? '#d2e0e2' : index % 2 === 0 ? '#e4dfd2' : '#f5f2ea';
  return html`<rect
      x="${p(left)}"
      y="${p(AXIS - halfWidth)}"
      width="${p(width)}"
      height="${p(2 * halfWidth)}"
      fill="${fill}"
      stroke="#575d64"
      ><title>${box.name}</title></rect
    >
    <text x="${p(left + width / 2)}" y="${p(AXIS - halfWidth + 16)}" text-anchor="middle" fill="#575d64"
      >${index + 1}</text
    > `;
}

function drawCone(
  report: TrainReport,
  x: (toSensorMm: number) => number,
  half: (mm: number) => number,
): SafeHtml | null {
  const { vignetting, sum, train } = report;
  const { diagonalMm } = vignetting;
  const { focalRatio, exitPupilMm } = train.corrector;
  if (diagonalMm === null || focalRatio === null) return null;
  // Straight edges: widest need at the corrector and at the sensor.
  const needed = (d: number): number =>
    d / focalRatio + diagonalMm * Math.abs(1 - d / (exitPupilMm ?? Infinity));
  const [far, near] = [half(needed(sum.totalMm)), half(needed(0))];
  const points = `${p(x(sum.totalMm))},${p(AXIS - far)} ${p(x(0))},${p(AXIS - near)} ${p(x(0))},${p(AXIS + near)} ${p(x(sum.totalMm))},${p(AXIS + far)}`;
  return html`<polygon points="${points}" fill="#dcb653" fill-opacity="0.25" stroke="#b3631b"
    ><title>light cone of the whole sensor</title></polygon
  >`;
}
