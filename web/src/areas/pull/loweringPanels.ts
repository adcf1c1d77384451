// The charts of a lowering.

import type { Lowering, RunAwaySeries } from '../../contract/types.gen';
import { greatest, type Along, type Panel } from '../../parts/chart/curve';
import { percent, wholeDegrees, type Units } from '../../show/number';

/** The way as the x axis: places of the upper axle. */
export function alongTheWay(lowering: Lowering, read: Units): Along {
  return {
    name: 'Upper axle, down the way',
    unit: read.lengthAxis,
    read: (v) => read.length(v),
    stops: lowering.series.distance_m,
  };
}

export function holdPanels(lowering: Lowering, read: Units): Panel[] {
  const series = lowering.series;
  const x = series.distance_m;
  const force = (v: number) => read.force(v);
  return [
    {
      title: 'Holding force',
      unit: read.forceAxis,
      tall: true,
      levels: [{ value: lowering.greatest_design_n, text: 'parts are judged at' }],
      curves: [
        {
          name: 'at the vehicle',
          x,
          y: series.hold_n,
          dash: 'full',
          read: force,
          band: { name: '90 of 100 cases', low: series.hold_low_n, high: series.hold_high_n },
        },
        { name: 'at the holder', x, y: series.holder_n, dash: 'dotted', read: force },
      ],
    },
    {
      title: 'Pitch, down the way',
      unit: { name: 'deg', si: 1 },
      curves: [{ name: 'pitch', x, y: series.pitch_deg, dash: 'full', read: wholeDegrees }],
    },
    {
      title: 'Weight on the upper bearing',
      unit: { name: '%', si: 0.01 },
      range: [Math.min(0, ...series.upper_share), 1],
      curves: [{ name: 'share', x, y: series.upper_share, dash: 'full', read: percent }],
    },
    {
      title: 'Line out',
      unit: read.lengthAxis,
      curves: [{ name: 'line out', x, y: series.line_out_m, dash: 'full', read: (v) => read.length(v) }],
    },
  ];
}

export function runAwayPanels(series: RunAwaySeries, read: Units): Panel[] {
  const x = series.time_s;
  const panels: Panel[] = [
    {
      title: 'Speed',
      unit: read.speedAxis,
      curves: [{ name: 'speed', x, y: series.speed_m_s, dash: 'full', read: (v) => read.speed(v) }],
    },
    {
      title: 'Place, down the way',
      unit: read.lengthAxis,
      curves: [{ name: 'place', x, y: series.distance_m, dash: 'full', read: (v) => read.length(v) }],
    },
  ];
  if (series.force_n.some((n) => n > 0)) {
    panels.unshift({
      title: 'Force in the line that catches',
      unit: read.forceAxis,
      curves: [{ name: 'force', x, y: series.force_n, dash: 'full', read: (v) => read.force(v) }],
    });
  }
  return panels;
}

/** When it is worst: the greatest force where a line catches, else the greatest speed. */
export function worstTime(series: RunAwaySeries): number {
  const of = series.force_n.some((n) => n > 0) ? series.force_n : series.speed_m_s;
  return series.time_s[of.indexOf(greatest(of))] ?? 0;
}
