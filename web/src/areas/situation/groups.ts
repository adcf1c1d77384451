// Every key of the plan file in its group: what is not asked first is folded away here, and
// what belongs nowhere comes last, so that none is out of reach.

import type { Field, FormTable } from '../../contract/types.gen';

/** Asked on top of the page. */
export const FIRST = [
  'casualty.mass', 'casualty.sits_in', 'casualty.sunk_to', 'casualty.depth', 'casualty.slope_along', 'casualty.stuck_for',
  'casualty.held_by', 'casualty.held_by.what', 'casualty.held_by.yields_at', 'tug.mass', 'tug.surface',
  'people.crew', 'people.bystanders', 'people.bystanders_at',
];

interface Group {
  name: string;
  /** Tables whose keys stand here. */
  tables: string[];
  /** Keys that stand here besides. */
  keys?: string[];
  /** Tables of parts with names of the plan's own, such as `line.strap-1`. */
  named?: string[];
}

export const GROUPS: Group[] = [
  { name: 'The plan', tables: [''] },
  { name: 'Casualty', tables: ['casualty'] },
  { name: 'Casualty: its outside', tables: ['casualty.body', 'casualty.body.screen_guard'], keys: ['casualty.screen_height', 'casualty.roof_height'] },
  { name: 'Recovery points', tables: [], named: ['casualty.point', 'tug.point'] },
  { name: 'Tug', tables: ['tug'] },
  { name: 'Tug: its outside', tables: ['tug.body', 'tug.body.screen_guard'], keys: ['tug.screen_height', 'tug.roof_height'] },
  { name: 'Winch', tables: ['tug.winch'] },
  { name: 'Kit', tables: ['boards', 'tools'], named: ['line', 'shackle', 'bridle', 'block', 'ring', 'damper', 'tether'] },
  { name: 'Anchors', tables: [], named: ['anchor'] },
  { name: 'Site', tables: ['site'] },
  { name: 'People', tables: ['people'] },
  { name: 'Policy', tables: ['policy'] },
  { name: 'Rig', tables: ['rig'], named: ['rig.run'] },
  { name: 'Lowering', tables: ['lowering', 'lowering.main', 'lowering.belay'] },
];

export interface Part {
  table: FormTable;
  name: string;
  fields: Field[];
  /** Tables within that the file does not have, such as how fast pulls stiffen a line. */
  absent: FormTable[];
  /** Named tables within, such as an anchor vehicle's points. */
  within: Parts[];
}

export interface Parts {
  table: FormTable;
  parts: Part[];
}

export interface Shown {
  name: string;
  fields: Field[];
  parts: Parts[];
  /** Tables that the file does not have and that list no key until it does. */
  absent: FormTable[];
}

const above = (path: string[]) => path.slice(0, -1).join('.');

export function grouped(fields: Field[], tables: FormTable[]): Shown[] {
  const left = new Map(fields.filter((f) => !FIRST.includes(f.key)).map((f) => [f.key, f]));
  const take = (wanted: (field: Field) => boolean) => {
    const taken = [...left.values()].filter(wanted);
    taken.forEach((field) => left.delete(field.key));
    return taken;
  };
  const partsOf = (table: FormTable): Parts => ({
    table,
    parts: tables
      .filter((t) => !t.named && t.there && above(t.path) === table.key && t.path.length === table.path.length + 1)
      .map((part) => ({
        table: part,
        name: part.path.at(-1) ?? '',
        within: tables.filter((t) => t.named && t.path.length > part.path.length && part.path.every((step, i) => t.path[i] === step)).map(partsOf),
        absent: tables.filter((t) => !t.named && !t.there && above(t.path) === part.key),
        fields: take((f) => f.path.length > part.path.length && part.path.every((step, i) => f.path[i] === step)),
      })),
  });
  // Parts first: a point of an anchor must not be taken for a key of the anchor.
  const named = new Map(GROUPS.flatMap((g) => g.named ?? []).map((key) => {
    const table = tables.find((t) => t.key === key && t.named);
    return [key, table ? partsOf(table) : null] as const;
  }));
  const own = new Map(GROUPS.map((g) => [g.name, take((f) => g.keys?.includes(f.key) ?? false)]));
  const shown = GROUPS.map((group): Shown => {
    const mine = [...(own.get(group.name) ?? []), ...take((f) => group.tables.includes(above(f.path)))];
    return {
      name: group.name,
      fields: mine,
      parts: (group.named ?? []).map((key) => named.get(key) ?? null).filter((p): p is Parts => p !== null),
      absent: tables.filter((t) => group.tables.includes(t.key) && !t.there && !t.named && !fields.some((f) => above(f.path) === t.key)),
    };
  });
  const rest = [...left.values()];
  return rest.length > 0 ? [...shown, { name: 'Other', fields: rest, parts: [], absent: [] }] : shown;
}

/** A name that is not taken yet: `bow-1`, `bow-2`, ... */
export function freshName(sort: string, taken: string[]): string {
  for (let number = 1; ; number += 1) {
    const name = `${sort}-${number}`;
    if (!taken.includes(name)) return name;
  }
}
