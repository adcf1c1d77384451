// How a link stands, in the words of the command line and the tone of its mark.

import type { Link, LinkState } from '../contract/types.gen';
import type { Tone } from '../parts/Mark.svelte';

export const STATE: Record<LinkState, { word: string; tone: Tone }> = {
  within: { word: 'Within', tone: 'good' },
  'over-wll': { word: 'Over WLL', tone: 'critical' },
  'over-policy': { word: 'Over policy', tone: 'warning' },
  'over-mbs': { word: 'Over MBS', tone: 'critical' },
  unrated: { word: 'Unrated', tone: 'warning' },
  refused: { word: 'Refused', tone: 'critical' },
};

/** What `mbs` is of a link: an anchor has no breaking strength, but a load that 95 of 100 hold. */
export function strengthWord(link: Link): string {
  return link.kind === 'anchor' ? 'Hold' : 'MBS';
}

/** Links of the haul, or of one branch of a rig laid out on the ground. */
export interface Chain {
  /** Where the branch joins; null for the haul and for a straight rig. */
  joins: string | null;
  links: { link: Link; index: number }[];
}

/** The haul first, then each branch, in the order of the answer. */
export function chains(links: Link[]): Chain[] {
  const all: Chain[] = [];
  links.forEach((link, index) => {
    const last = all.at(-1);
    const before = last?.links.at(-1)?.link;
    // Two branches may join at one place: another run is another branch.
    const goesOn = last && last.joins === link.joins && (link.joins === null || before?.run === link.run);
    if (last && goesOn) last.links.push({ link, index });
    else all.push({ joins: link.joins, links: [{ link, index }] });
  });
  return all;
}
