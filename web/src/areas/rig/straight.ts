// A straight rig, along its own line of pull.

import type { PlanPoint } from '../../contract/types.gen';
import { forwardOf, WAGON } from './bodies';
import type { Fields } from './kit';
import type { Answered, Body, Scene, Strand } from './scene';
import type { Pos } from './view.svelte';

/** With its true lengths. */
export function straight(fields: Fields, answer: Answered | null): Scene {
  const bodies: Body[] = [];
  const made: Strand[] = [];
  for (const outline of answer?.standoff?.outlines ?? []) {
    if ((outline.what === 'casualty' || outline.what === 'tug') && outline.points.length >= 3) {
      bodies.push({
        id: outline.what, table: [outline.what], kind: outline.what, title: outline.name,
        facing: noseOf(fields, outline.what, answer), bonnet: WAGON.bonnet, ...box(outline.points), stays: 'a straight rig lies along its own line of pull: lay it out on the ground to move things',
      });
    } else if (outline.what === 'line' && outline.points.length > 1) {
      const [a, b] = [point(outline.points[0]), point(outline.points.at(-1))];
      if (a && b) {
        made.push({
          id: `${outline.name}/${made.length}`, run: outline.name, from: 'casualty', to: 'tug', a, b,
          tension: outline.tension_n ?? answer?.path.tension_n ?? null, slack: false, hauled: false,
          holds: [outline.name], length: Math.hypot(a.x - b.x, a.y - b.y),
        });
      }
    }
  }
  bodies.sort((a, b) => Number(a.id === 'tug') - Number(b.id === 'tug'));
  return { bodies, nodes: [], strands: made, spots: [], laidOut: false };
}

/** Which way a vehicle of a straight rig points: by the end that the line is made fast to. */
function noseOf(fields: Fields, vehicle: 'casualty' | 'tug', answer: Answered | null): number | null {
  const name = answer?.path.links.find((l) => l.name.startsWith(`${vehicle}.`))?.name.slice(vehicle.length + 1);
  if (name === undefined) return null;
  const ahead = name === 'winch' ? 1 : forwardOf(fields, `${vehicle}.point.${name}`, name);
  if (ahead === 0) return null;
  return ahead > 0 === (vehicle === 'casualty') ? 0 : 180;
}

const point = (p: PlanPoint | undefined): Pos | null => (p ? { x: p.x_m, y: p.y_m } : null);

function box(corners: PlanPoint[]): { at: Pos; length: number; width: number } {
  const xs = corners.map((p) => p.x_m);
  const ys = corners.map((p) => p.y_m);
  const [left, right, low, high] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return { at: { x: (left + right) / 2, y: (low + high) / 2 }, length: right - left, width: high - low };
}
