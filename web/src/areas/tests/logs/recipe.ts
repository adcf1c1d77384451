// A recipe as text, changed at one of its keys; its channels. It is the text that the look at
// a log gives, or what somebody made of it: a key that is not found is left to the text itself.

export interface Channel {
  name: string;
  quantity: string;
}

/** Units by what they measure: the quantity of a channel has to fit its unit. */
const QUANTITIES: Record<string, string[]> = {
  force: ['N', 'daN', 'kN', 'MN', 'kgf', 'tf', 'lbf', 'klbf'],
  displacement: ['m', 'cm', 'mm', 'um', 'in', 'ft'],
  acceleration: ['m/s2', 'ft/s2', 'g', 'mg'],
  other: ['V', 'mV', 'uV'],
};

/** What a key can be, where that is known. */
const VALUES: Record<string, string[]> = {
  encoding: ['utf-8', 'utf-16le', 'utf-16be', 'latin-1'],
  delimiter: ['comma', 'semicolon', 'tab', 'pipe', 'spaces'],
  decimal: ['dot', 'comma'],
  grouping: ['none', 'comma', 'dot', 'space', 'apostrophe'],
  order: ['year-month-day', 'day-month-year', 'month-day-year'],
};
const TIME_UNITS = ['s', 'ms', 'us', 'ns', 'min', 'h'];

const NAMES: Record<string, string> = {
  'layout.format': 'Format',
  'layout.encoding': 'Letters',
  'layout.delimiter': 'Cells are set apart by',
  'layout.sheet': 'Sheet',
  'layout.notation.decimal': 'Decimal mark',
  'layout.notation.grouping': 'Thousands are set apart by',
  'layout.rows.head_lines': 'Lines before the numbers',
  'layout.rows.names_line': 'Line of the names',
  'layout.rows.units_line': 'Line of the units',
  'layout.rows.foot_lines': 'Lines after the numbers',
  'time.kind': 'Times come from',
  'time.column': 'Column of the time',
  'time.unit': 'Unit of the time',
  'time.order': 'Order of a date',
  'time.rate_hz': 'Samples a second',
};

/** What a key is called. */
export function keyName(key: string, channels: Channel[]): string {
  const of = /^channel\.(\d+)\.(\w+)$/.exec(key);
  if (!of) return NAMES[key] ?? key;
  const name = channels[Number(of[1]) - 1]?.name ?? `channel ${of[1]}`;
  return `${of[2] === 'unit' ? 'Unit' : of[2] === 'quantity' ? 'Kind' : of[2]} of ${name}`;
}

/** What a key can be, beside what stands there; null where it is not one of a few words. */
export function valuesOf(key: string): string[] | null {
  if (key === 'time.unit') return TIME_UNITS;
  if (/^channel\.\d+\.unit$/.test(key)) return Object.values(QUANTITIES).flat();
  return VALUES[key.split('.').at(-1) ?? ''] ?? null;
}

export function channelsOf(recipe: string): Channel[] {
  return sections(recipe)
    .filter((s) => s.head === '[[channel]]')
    .map((s) => ({ name: valueIn(s.lines, 'name') ?? '', quantity: valueIn(s.lines, 'quantity') ?? '' }));
}

/** What stands at a key; null where the text has none. */
export function valueAt(recipe: string, key: string): string | null {
  const found = place(sections(recipe), key);
  return found ? valueIn(found.section.lines, found.name) : null;
}

/** The recipe with another value at a key; null where its text has no such place. */
export function withValue(recipe: string, key: string, value: string): string | null {
  const all = sections(recipe);
  const found = place(all, key);
  if (!found) return null;
  put(found.section.lines, found.name, value);
  const fits = /^channel\.\d+\.unit$/.test(key) && Object.keys(QUANTITIES).find((q) => QUANTITIES[q]!.includes(value));
  if (fits) put(found.section.lines, 'quantity', fits);
  return all.flatMap((s) => (s.head === null ? s.lines : [s.head, ...s.lines])).join('\n');
}

interface Section {
  head: string | null;
  lines: string[];
}

function sections(recipe: string): Section[] {
  const all: Section[] = [{ head: null, lines: [] }];
  for (const line of recipe.split('\n')) {
    if (/^\s*\[/.test(line)) all.push({ head: line.trim(), lines: [] });
    else all.at(-1)!.lines.push(line);
  }
  return all;
}

function place(all: Section[], key: string): { section: Section; name: string } | null {
  const channel = /^channel\.(\d+)\.(\w+)$/.exec(key);
  const at = key.lastIndexOf('.');
  const section = channel
    ? all.filter((s) => s.head === '[[channel]]')[Number(channel[1]) - 1]
    : all.find((s) => s.head === `[${key.slice(0, at)}]`);
  return section ? { section, name: key.slice(at + 1) } : null;
}

function lineOf(lines: string[], name: string): number {
  return lines.findIndex((line) => line.replace(/=.*/, '').trim() === name);
}

function valueIn(lines: string[], name: string): string | null {
  const line = lines[lineOf(lines, name)];
  if (line === undefined) return null;
  const value = line.slice(line.indexOf('=') + 1).trim();
  try {
    return value.startsWith('"') ? String(JSON.parse(value)) : value;
  } catch {
    return value;
  }
}

function put(lines: string[], name: string, value: string): void {
  const at = lineOf(lines, name);
  const bare = at < 0 ? /^\d+(\.\d+)?$/.test(value) : !/=\s*"/.test(lines[at]!);
  const line = `${name} = ${bare ? value : JSON.stringify(value)}`;
  if (at >= 0) lines[at] = line;
  else {
    const end = lines.findLastIndex((l) => l.trim() !== '');
    lines.splice(end + 1, 0, line);
  }
}
