import { describe, expect, it } from 'vitest';
import { cornersReport, subjectUnit } from '../../../src/report/corners/corners-report.js';
import { syntheticNight } from '../synthetic-night.js';

const night = syntheticNight({ frames: 20, filters: ['R', 'B'] });

describe('cornersReport', () => {
  it('makes one subject a group of its kept frames, and keeps the causes that shape the field', () => {
    const report = cornersReport(night);
    expect(report.subjects).toHaveLength(2);
    for (const subject of report.subjects) {
      const kept = night.frames.filter((frame) => frame.group === subject.name && frame.decision === 'keep');
      expect(subject.files).toEqual(kept.map((frame) => frame.file));
    }
    expect(report.causes.map((cause) => cause.code)).toEqual(['sensor-tilt']);
  });

  it('takes all frames of a group that has none to keep', () => {
    const frames = night.frames.map((frame) => ({ ...frame, decision: 'reject' as const }));
    expect(cornersReport({ ...night, frames }).subjects[0]!.files).toHaveLength(10);
  });

  it('leaves frames of another size out, and does without an atlas', () => {
    const [first, ...rest] = syntheticNight({ frames: 8 }).frames.slice(0, 3);
    const other = { ...first!, image: { ...first!.image, widthPx: 100 } };
    const subject = cornersReport({ ...night, frames: [...rest, other] }).subjects[0]!;
    expect(subject.files).toHaveLength(2);
    expect(subject.atlas).toBeNull();
  });

  it('takes the tilt of the joint fit where tilt was found, and none where it was not', () => {
    const { tilt } = night.optics[0]!;
    expect(cornersReport(night).subjects[0]!.sensorTilt).toMatchObject({
      directionDeg: tilt!.directionDeg,
      span: tilt!.span,
    });
    const clear = { ...night, night: { ...night.night, causes: [] } };
    expect(cornersReport(clear).subjects[0]!.sensorTilt).toBeNull();
  });

  it('speaks of pixels without a plate scale', () => {
    const frames = night.frames.map((frame) => ({ ...frame, scale: null }));
    expect(subjectUnit(cornersReport({ ...night, frames }).subjects[0]!)).toEqual({ perPx: 1, sign: ' px' });
    expect(subjectUnit(cornersReport(night).subjects[0]!)).toEqual({ perPx: 1.46, sign: '″' });
  });
});
