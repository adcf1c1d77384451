// What can be reached on the drawing, in reading order: the casualty, then along the load
// path with its branches, then what carries nothing, and the tug last.

import type { Item } from './say';
import type { Answered, Scene } from './scene';

export function items(scene: Scene, answer: Answered | null): Item[] {
  const all: Item[] = [];
  const seen = new Set<string>();
  const put = (item: Item | undefined) => {
    if (!item || seen.has(item.id)) return;
    seen.add(item.id);
    all.push(item);
  };
  const bodies = scene.bodies.map((body): Item => ({ id: `body:${body.id}`, name: body.id, body }));
  const nodes = scene.nodes
    .filter((node) => node.kind === 'block' || node.kind === 'ring' || node.kind === 'apex')
    .map((node): Item => ({ id: `node:${node.name}`, name: node.name, node }));
  const strands = scene.strands.map((strand): Item => ({ id: `strand:${strand.id}`, name: strand.id, strand }));

  put(bodies.find((b) => b.name === 'casualty'));
  for (const link of answer?.path.links ?? []) {
    put(nodes.find((n) => n.name === link.name));
    put(bodies.find((b) => b.name !== 'tug' && (b.name === link.name || link.name.startsWith(`${b.name}.`))));
    // A line between two places says so: "..., from moving to redirect".
    const ends = / from (\S+) to (\S+)$/.exec(link.words);
    const part = ends
      ? strands.find((s) => s.strand && joins(s.strand, ends[1], ends[2]))
      : strands.find((s) => s.strand?.holds.includes(link.name));
    put(part);
  }
  nodes.forEach(put);
  strands.forEach(put);
  bodies.filter((b) => b.name !== 'tug').forEach(put);
  put(bodies.find((b) => b.name === 'tug'));
  return all;
}

/** What a line can be made fast to or go round, while one is threaded by tapping. */
export function threadable(scene: Scene): Item[] {
  const spots = scene.spots.map((spot): Item => ({ id: `spot:${spot.name}`, name: spot.name, spot }));
  const anchors = scene.bodies
    .filter((body) => body.facing === null)
    .map((body): Item => ({ id: `body:${body.id}`, name: body.id, body }));
  const nodes = scene.nodes
    .filter((node) => node.kind === 'block' || node.kind === 'ring' || node.kind === 'apex')
    .map((node): Item => ({ id: `node:${node.name}`, name: node.name, node }));
  return [...spots, ...nodes, ...anchors];
}

function joins(strand: { from: string; to: string }, a: string | undefined, b: string | undefined): boolean {
  return (strand.from === a && strand.to === b) || (strand.from === b && strand.to === a);
}
