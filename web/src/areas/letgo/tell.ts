// A recoil in words and figures: the same for eyes and ears.

import type { Replay, ReplayThing } from '../../contract/types.gen';
import { figures, seconds, type Units } from '../../show/number';
import type { Tone } from '../../parts/Mark.svelte';

/** Where its energy counts: where it strikes or arrives, or at its greatest on the way. */
export function counts(thing: ReplayThing): { joules: number; where: string } {
  // What strikes goes no further, whatever the run that follows it says of later.
  if (thing.strike_energy_j !== null) return { joules: thing.strike_energy_j, where: 'where it strikes' };
  if (thing.arrival_energy_j !== null) return { joules: thing.arrival_energy_j, where: 'at the far recovery point' };
  return { joules: thing.greatest_energy_j, where: 'at its greatest, on the way' };
}

/** How a thing stands against the injury criterion. */
export function against(thing: ReplayThing, replay: Replay): { tone: Tone; word: string } {
  const { joules } = counts(thing);
  const times = joules / replay.criterion_j;
  // What flies to no vehicle is as near to people anywhere on its way.
  const arrives = thing.arrives_s !== null || thing.strikes !== null || replay.flies_to === null;
  if (times > 1) return { tone: arrives ? 'critical' : 'warning', word: `Over the criterion, ${figures(times)} times${arrives ? '' : ' on the way'}` };
  return { tone: 'note', word: arrives ? 'Under the criterion' : 'Stops short, under the criterion' };
}

/** What it meets. */
export function meets(thing: ReplayThing, replay: Replay): string {
  if (thing.strikes !== null) return `strikes ${thing.strikes}${thing.strikes_s === null ? '' : ` after ${seconds(thing.strikes_s)}`}`;
  if (thing.arrives_s !== null) return `passes the far recovery point after ${seconds(thing.arrives_s)}`;
  return replay.flies_to === null ? 'no vehicle stands where it flies to' : 'stops short';
}

/** The whole of it in a few sentences. */
export function summary(replay: Replay, read: Units): string {
  const first = replay.things[0];
  if (!first) return '';
  const { joules, where } = counts(first);
  const bound = replay.flight?.upper_bound ? 'up to ' : '';
  const leaves = `At ${read.force(replay.load_n)} ${replay.parts}: ${first.name}, leaves at ${bound}${read.flightSpeed(first.fastest_m_s)}`;
  const met = replay.flies_to === null && first.strikes === null && first.arrives_s === null ? '' : ` and ${meets(first, replay)}`;
  return `${leaves}${met}; ${read.energy(joules)} ${where}, ${figures(joules / replay.criterion_j)} times the injury criterion of ${read.energy(replay.criterion_j)}.`;
}
