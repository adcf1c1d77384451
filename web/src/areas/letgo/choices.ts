// What could let go, in the order of the load path, each side or flight of it a choice.

import type { Answer, ReplayRequest } from '../../contract/types.gen';

export interface Choice {
  id: string;
  /** The part that lets go, as a heading over its sides. */
  group: string;
  /** The side or the flight in words. */
  label: string;
  /** Where it stands in the answer. */
  case: number;
  flight: number | null;
  /** Its energy over the injury criterion. */
  times: number;
  /** The load at which the answer has it part, N. */
  load: number;
  /** Only bounded by the answer, with no motion to look at. */
  bounded: boolean;
}

export function choices(answer: Answer): Choice[] {
  const { cases, partings, injury_energy_j } = answer.let_go;
  const sides = cases.map((one, k): Choice => ({
    id: `${k}`,
    group: one.link,
    label: `parts ${one.side.parts}; ${one.flies}, flies to the ${one.side.flies_to}`,
    case: k,
    flight: null,
    times: one.times_injury,
    load: one.tension_n,
    bounded: false,
  }));
  const flights = partings.flatMap((parting, k) =>
    parting.flights.map((flight, f): Choice => ({
      id: `${k}-${f}`,
      group: `${parting.part}, ${parting.at}`,
      label: `${flight.what}, ${flight.side}`,
      case: k,
      flight: f,
      times: flight.energy_j / injury_energy_j,
      load: parting.load_n,
      bounded: flight.upper_bound && !flight.thrown,
    })),
  );
  return [...sides, ...flights];
}

/** The choice that is shown first: the one with the most energy. */
export function worst(all: Choice[]): Choice | undefined {
  return all.filter((one) => !one.bounded).reduce<Choice | undefined>((most, one) => (most && most.times >= one.times ? most : one), undefined);
}

/** The rig of the answer, so that it need not be looked for again. */
export function rigOf(answer: Answer): ReplayRequest['rig'] {
  const { method, tension_n } = answer.load_path;
  return method === null ? null : { method, pull_n: tension_n };
}
