// The charts of a kinetic pull.

import type { Answer, KineticPull } from '../../contract/types.gen';
import type { Along, Level, Panel } from '../../parts/chart/curve';
import { seconds, type Units } from '../../show/number';

export const TIME: Omit<Along, 'stops'> = {
  name: 'Time from the start of the run',
  unit: { name: 's', si: 1 },
  read: seconds,
};

export function kineticPanels(answer: Answer, pull: KineticPull, read: Units): Panel[] {
  const { time_s: x, ...series } = pull.series;
  return [
    {
      title: 'Force in the line',
      unit: read.forceAxis,
      tall: true,
      levels: limits(answer, pull),
      curves: [{ name: 'force', x, y: series.force_n, dash: 'full', read: (v) => read.force(v) }],
    },
    {
      title: 'Stretch',
      unit: read.lengthAxis,
      curves: [{ name: 'stretch', x, y: series.stretch_m, dash: 'full', read: (v) => read.length(v) }],
    },
    {
      title: 'Speed',
      unit: read.speedAxis,
      curves: [
        { name: 'tug', x, y: series.tug_speed_m_s, dash: 'full', read: (v) => read.speed(v) },
        { name: 'casualty', x, y: series.casualty_speed_m_s, dash: 'dashed', read: (v) => read.speed(v) },
      ],
    },
    {
      title: 'Movement of the casualty',
      unit: read.lengthAxis,
      curves: [{ name: 'movement', x, y: series.casualty_movement_m, dash: 'full', read: (v) => read.length(v) }],
    },
  ];
}

/** The lowest working load limit and the lowest strength in the path, as loads of the line. */
function limits(answer: Answer, pull: KineticPull): Level[] {
  const rung = answer.options.ladder.find((r) => r.method === 'kinetic');
  const levels: Level[] = [];
  for (const [word, share] of [['WLL', 'share_of_wll'], ['MBS', 'share_of_mbs']] as const) {
    const worst = (rung?.links ?? []).reduce<{ name: string; share: number } | null>((most, link) => {
      const own = link[share];
      return own !== null && own > 0 && (most === null || own > most.share) ? { name: link.name, share: own } : most;
    }, null);
    if (worst) levels.push({ value: pull.peak_force_n / worst.share, text: `${word} of ${worst.name}` });
  }
  return levels;
}
