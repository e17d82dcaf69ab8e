import { adu, celsius, ratio, whole } from '../numbers.js';
import type { GroupSummary } from '../../night/types.js';
import { sizeIn, type FrameView, type PageView } from '../view.js';

/** A limit line over a group's frames. */
export interface LimitLine {
  readonly value: number;
  /** Index of the group it holds for; null: all. */
  readonly group: number | null;
}

/** One figure of the night against time: a row of the timeline. */
export interface NightFigure {
  readonly id: string;
  readonly title: string;
  /** Sign behind the figure in the title, may be empty. */
  readonly unit: (view: PageView) => string;
  readonly of: (frame: FrameView, view: PageView) => number | null;
  readonly text: (value: number) => string;
  readonly limits: (view: PageView) => readonly LimitLine[];
  /** Which end is the bad one, for the words of the plot. */
  readonly worse: 'high' | 'low' | null;
}

const size = (view: PageView) => (view.unit === 'arcsec' ? 'arcsec' : 'px');
const none = (): readonly LimitLine[] => [];

function fwhmLimits(view: PageView): readonly LimitLine[] {
  const { fwhmFactor, fwhmArcsec } = view.night.limits;
  const lines: LimitLine[] = [];
  if (fwhmFactor !== null) {
    for (const group of view.night.groups) {
      const reference = referenceFwhm(group, view);
      if (reference !== null)
        lines.push({ value: reference * fwhmFactor, group: view.groupNames.indexOf(group.name) });
    }
  }
  if (fwhmArcsec !== null && view.unit === 'arcsec') lines.push({ value: fwhmArcsec, group: null });
  return lines;
}

function referenceFwhm(group: GroupSummary, view: PageView): number | null {
  return view.unit === 'arcsec' ? group.reference.fwhmArcsec : group.reference.fwhmPx;
}

/** The rows of the timeline, in order. */
export const nightFigures: readonly NightFigure[] = [
  {
    id: 'fwhm',
    title: 'FWHM',
    unit: size,
    of: ({ frame }, view) => sizeIn(view.unit, frame.fwhm),
    text: ratio,
    limits: fwhmLimits,
    worse: 'high',
  },
  {
    id: 'hfd',
    title: 'Half-flux diameter',
    unit: size,
    of: ({ frame }, view) => sizeIn(view.unit, frame.hfd),
    text: ratio,
    limits: none,
    worse: 'high',
  },
  {
    id: 'elongation',
    title: 'Elongation',
    unit: () => '',
    of: ({ frame }) => frame.elongation,
    text: ratio,
    limits: ({ night }) =>
      night.limits.elongation === null ? [] : [{ value: night.limits.elongation, group: null }],
    worse: 'high',
  },
  {
    id: 'background',
    title: 'Sky background',
    unit: () => 'ADU',
    of: ({ frame }) => frame.background.level,
    text: adu,
    limits: none,
    worse: 'high',
  },
  {
    id: 'transparency',
    title: 'Transparency',
    unit: () => '',
    of: ({ frame }) => frame.transparency,
    text: ratio,
    limits: ({ night }) =>
      night.limits.transparency === null ? [] : [{ value: night.limits.transparency, group: null }],
    worse: 'low',
  },
  {
    id: 'focus',
    title: 'Focuser position',
    unit: () => 'steps',
    of: ({ frame }) => frame.header.focuserPosition,
    text: whole,
    limits: none,
    worse: null,
  },
  {
    id: 'temperature',
    title: 'Temperature',
    unit: () => '°C',
    // Of the tube where it is known: that is what moves the focus; the sensor is held at its own.
    of: ({ frame }) => frame.header.focuserTemperatureC ?? frame.header.ambientTemperatureC,
    text: celsius,
    limits: none,
    worse: null,
  },
];
