// What stands on the drawing, in words: for those who hear it, and for the labels.

import type { Link } from '../../contract/types.gen';
import { STATE, strengthWord } from '../../show/link';
import { degrees, percent, type Units } from '../../show/number';
import type { Answered, Body, Moved, Node, Spot, Strand } from './scene';

export interface Item {
  /** Unique on the drawing: `body:tug`, `node:moving`, `strand:main/0`, `spot:tug.rear`. */
  id: string;
  /** Name of the part or vehicle that it stands for. */
  name: string;
  body?: Body;
  node?: Node;
  strand?: Strand;
  /** Where a line may be made fast: only while one is threaded. */
  spot?: Spot;
}

const KIND: Record<string, string> = {
  casualty: 'casualty', tug: 'tug', vehicle: 'anchor vehicle', tree: 'tree', pickets: 'pickets', deadman: 'deadman',
  plate: 'plate', stated: 'anchor', anchor: 'anchor', block: 'block', ring: 'ring', apex: 'bridle apex', winch: 'winch',
};

export const kindWord = (kind: string) => KIND[kind] ?? kind;

export function linksOf(answer: Answered | null, name: string): Link[] {
  return answer?.path.links.filter((l) => l.name === name || l.name.startsWith(`${name}.`)) ?? [];
}

export function placeWords(read: Units, at: Moved | Body): string {
  const facing = at.facing === null ? '' : `, facing ${degrees(at.facing)}`;
  return `x ${read.length(at.at.x)}, y ${read.length(at.at.y)}${facing}`;
}

/** The worst of its links in words. */
function stateWords(links: Link[]): string {
  const worst = links.find((l) => l.state !== 'within') ?? links[0];
  return worst ? `, ${STATE[worst.state].word.toLowerCase()}${links.some((l) => l.weakest) ? ', weakest link' : ''}` : '';
}

export function itemWords(read: Units, answer: Answered | null, fresh: boolean, item: Item): string {
  const was = fresh ? '' : ' in the plan before';
  const links = linksOf(answer, item.name);
  if (item.body) {
    const body = item.body;
    const hold = answer?.rig?.anchors.find((a) => a.name === body.id);
    const load = hold ? `load ${read.force(hold.load_n)}, 95 of 100 hold ${read.force(hold.low_hold_n)}` : loadWords(read, links);
    return `${body.title}, ${kindWord(body.kind)}, at ${placeWords(read, body)}; ${load}${stateWords(links)}${was}${body.stays ? `; ${body.stays}` : ''}`;
  }
  if (item.node) {
    const node = item.node;
    const angle = node.solved?.included_angle_deg;
    const load = node.solved ? `load ${read.force(node.solved.load_n)}` : 'load not worked out';
    return `${kindWord(node.kind)} ${node.name}: ${load}${angle == null ? '' : `, included angle ${degrees(angle)}`}${stateWords(links)}`;
  }
  const strand = item.strand;
  if (!strand) return item.name;
  const load = strand.slack ? 'slack' : strand.tension === null ? 'load not worked out' : read.force(strand.tension) + was;
  const holds = strand.holds.length > 0 ? `, ${strand.holds.join(', ')}` : '';
  return `Part of line from ${strand.from} to ${strand.to}, run ${strand.run}: ${load}${holds}`;
}

function loadWords(read: Units, links: Link[]): string {
  const most = links.reduce<Link | null>((a, b) => (a && a.load_n >= b.load_n ? a : b), null);
  return most ? `load ${read.force(most.load_n)} on ${most.name}` : 'carries no line';
}

/** What is heard of the loads after a change by hand. */
export function loadWordsAfter(read: Units, answer: Answered | null): string {
  const weakest = answer?.path.links.find((l) => l.weakest);
  const share = weakest?.share_of_wll ?? weakest?.share_of_mbs;
  const of = weakest && weakest.share_of_wll === null ? strengthWord(weakest).replace('Hold', 'hold') : 'WLL';
  return weakest
    ? ` Weakest link ${weakest.name}: ${read.force(weakest.load_n)}${share == null ? '' : `, ${percent(share)} of its ${of}`}, ${STATE[weakest.state].word.toLowerCase()}.`
    : '';
}
