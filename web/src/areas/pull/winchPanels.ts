// The charts of a winch haul.

import type { HaulCourse, WinchHaul } from '../../contract/types.gen';
import { greatest, type Curve, type Level, type Panel } from '../../parts/chart/curve';
import { figures, percent, type Units } from '../../show/number';

export function winchPanels(haul: WinchHaul, course: HaulCourse, read: Units): Panel[] {
  const series = course.series;
  const x = series.time_s;
  const one = (title: string, unit: Panel['unit'], y: number[], told: (v: number) => string, more: Partial<Panel> = {}): Panel => ({
    title,
    unit,
    curves: [{ name: title.toLowerCase(), x, y, dash: 'full', read: told }],
    ...more,
  });
  /** What the winch is rated for on the layer that winds. */
  const rated: Curve = {
    name: 'rated on the layer',
    x,
    y: series.layer.map((layer) => haul.drum.layers.find((l) => l.layer === layer)?.rated_pull_n ?? NaN),
    dash: 'dashed',
    read: (v) => read.force(v),
    steps: true,
  };
  const pull: Curve = { name: 'line pull', x, y: series.line_pull_n, dash: 'full', read: (v) => read.force(v) };

  const panels: Panel[] = [
    { title: 'Line pull', unit: read.forceAxis, tall: true, curves: [pull, rated] },
    one('Line speed', read.lineSpeedAxis, series.line_speed_m_s, (v) => read.lineSpeed(v)),
  ];
  if (series.current_a) panels.push(one('Current', { name: 'A', si: 1 }, series.current_a, (v) => `${figures(v)} A`));
  if (series.winding_c) {
    const levels: Level[] = course.electric
      ? [{ value: read.degrees(course.electric.winding_limit_c), text: `rests at ${read.temperature(course.electric.winding_limit_c)}` }]
      : [];
    panels.push(one('Winding', { name: read.degreeSign, si: 1 }, series.winding_c.map((c) => read.degrees(c)), (v) => `${figures(v)} ${read.degreeSign}`, { levels }));
  }
  if (series.charge_share) {
    panels.push(one('Battery charge', { name: '%', si: 0.01 }, series.charge_share, percent, { range: [0, 1] }));
  }
  if (series.pressure_pa) panels.push(one('Pressure', read.oilPressureAxis, series.pressure_pa, (v) => read.oilPressure(v)));
  if (series.handle_n) panels.push(one('Force on the handle', read.handForceAxis, series.handle_n, (v) => read.handForce(v)));
  panels.push(
    one('Movement of the casualty', read.lengthAxis, series.movement_m, (v) => read.length(v)),
    {
      title: 'Drum layer',
      unit: { name: 'no.', si: 1 },
      range: [0, greatest(series.layer, 1)],
      curves: [{ name: 'layer', x, y: series.layer, dash: 'full', read: (v) => String(Math.round(v)), steps: true }],
    },
  );
  return panels;
}
