import type { CornersReport } from './corners-report.js';

/** The report as a document of schema `starassay/corners@1`; widths in pixels, angles counter-clockwise from +x with y up. */
export function cornersJson(report: CornersReport): unknown {
  return {
    schema: 'starassay/corners@1',
    version: report.version,
    groups: report.subjects.map((subject) => ({
      name: subject.name,
      frames: subject.files,
      image: { widthPx: subject.widthPx, heightPx: subject.heightPx },
      scale: subject.arcsecPerPx === null ? null : { arcsecPerPx: subject.arcsecPerPx },
      fwhmPx: subject.fwhmPx,
      elongation: subject.elongation,
      field: {
        tilt: subject.field.tilt,
        curvaturePercent: subject.field.curvaturePercent,
        curvatureErrorPercent: subject.field.curvatureErrorPercent,
        radial: subject.field.radial,
        radialError: subject.field.radialError,
        corners: subject.field.corners,
        columns: subject.field.columns,
        rows: subject.field.rows,
        cells: subject.field.cells.map(
          ({ column, row, x, y, stars, fwhmPx, fwhmErrorPx, elongation, angleDeg }) => ({
            column,
            row,
            x,
            y,
            stars,
            fwhmPx,
            fwhmErrorPx,
            elongation,
            angleDeg,
          }),
        ),
      },
    })),
    causes: report.causes,
    optics: report.optics.map(
      ({ tilt, curvature, astigmatism, unit, signsKnown, explainedVariance, frames }) => ({
        frames,
        unit,
        tilt,
        curvature,
        astigmatism,
        signsKnown,
        explainedVariance,
      }),
    ),
    warnings: report.warnings,
  };
}
