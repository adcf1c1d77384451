// Where everything is at a moment between two frames.

import type { Replay, ReplayTrack } from '../../contract/types.gen';

export interface Moment {
  /** The frame before it, and how far on to the next. */
  frame: number;
  share: number;
}

/** The moment at `time`, held at the ends of the run. */
export function moment(replay: Replay, time: number): Moment {
  const times = replay.time_s;
  let [low, high] = [0, times.length - 1];
  if (time >= times[high]!) return { frame: high, share: 0 };
  if (time <= 0) return { frame: 0, share: 0 };
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (times[middle]! <= time) low = middle;
    else high = middle;
  }
  return { frame: low, share: (time - times[low]!) / (times[high]! - times[low]!) };
}

/** Axis `axis` of point `point` of a track, m. */
export function place(track: ReplayTrack, point: number, axis: number, at: Moment): number {
  const stride = track.points * 3;
  const here = at.frame * stride + point * 3 + axis;
  const before = track.places_mm[here]!;
  const after = at.share > 0 ? track.places_mm[here + stride]! : before;
  return (before + at.share * (after - before)) / 1000;
}

/** A number of each frame at a moment. */
export function between(list: number[], at: Moment): number {
  const before = list[at.frame] ?? 0;
  return at.share > 0 ? before + at.share * ((list[at.frame + 1] ?? before) - before) : before;
}

export const end = (replay: Replay): number => replay.time_s.at(-1) ?? 0;

/** What happens when: to go there, and to mark it. */
export interface Event {
  time: number;
  name: string;
}

export function events(replay: Replay): Event[] {
  const found: Event[] = [{ time: 0, name: 'lets go' }];
  const line = replay.tracks[0];
  if (line?.kind === 'line') {
    // What leaves, not a fall or a crack later on.
    const leaves = 0.995 * (replay.things[0]?.fastest_m_s ?? Infinity);
    const fastest = line.speed_m_s.findIndex((speed) => speed >= leaves);
    if (fastest > 0) found.push({ time: replay.time_s[fastest]!, name: 'fastest' });
  }
  for (const thing of replay.things.slice(0, 1)) {
    if (thing.strikes_s !== null) found.push({ time: thing.strikes_s, name: `strikes ${thing.strikes ?? 'it'}` });
    else if (thing.arrives_s !== null) found.push({ time: thing.arrives_s, name: 'passes the far recovery point' });
  }
  for (const track of replay.tracks) {
    if (track.parts_at_s !== null) found.push({ time: track.parts_at_s, name: `tether ${track.name} parts` });
  }
  found.push({ time: end(replay), name: replay.at_rest ? 'all lies still' : 'the run ends' });
  return found.sort((a, b) => a.time - b.time);
}

/** The first strike on a vehicle, past which the run goes on as if nothing stood there. */
export function firstStrike(replay: Replay): number | null {
  const times = replay.things.filter((t) => !/off the line|torn off/.test(t.name)).map((t) => t.strikes_s).filter((t) => t !== null);
  return times.length > 0 ? Math.min(...times) : null;
}
