// Places as a plan file writes them.

const LENGTH: Record<string, number> = { m: 1, cm: 0.01, mm: 0.001, ft: 0.3048, in: 0.0254 };
const ANGLE: Record<string, number> = { deg: 1, '°': 1 };

const NUMBER = String.raw`[-+]?(?:\d+\.?\d*|\.\d+)`;
const PLAIN = new RegExp(`^\\s*(${NUMBER})\\s*(\\S+)\\s*$`);

function plain(text: string, units: Record<string, number>): number | null {
  const found = PLAIN.exec(text);
  const unit = units[found?.[2] ?? ''];
  return found && unit !== undefined ? Number(found[1]) * unit : null;
}

/** The figure, or the middle of a range as the plan's reader takes it. */
function read(value: unknown, units: Record<string, number>): number | null {
  if (typeof value === 'object' && value !== null) {
    const { likely, mean, median, low, high } = value as Record<string, unknown>;
    const middle = likely ?? mean ?? median;
    if (middle !== undefined) return read(middle, units);
    const [a, b] = [read(low, units), read(high, units)];
    return a !== null && b !== null ? (a + b) / 2 : null;
  }
  if (typeof value !== 'string') return null;
  const likely = /likely (.+)$/.exec(value)?.[1];
  const about = /^(.+?)\s*(?:\+\/-|±)\s*(.+)$/.exec(value);
  const ends = /^(?:between\s+)?(.+?)\s+(?:to|and)\s+(.+?)(?:,.*)?$/.exec(value);
  const unit = /[^\d\s.]+$/.exec((about ?? ends)?.[2] ?? '')?.[0] ?? '';
  const bare = (text: string) => plain(text, units) ?? plain(`${text} ${unit}`, units);
  if (likely !== undefined) return plain(likely, units);
  if (about?.[1] !== undefined) return bare(about[1]);
  if (ends?.[1] === undefined || ends[2] === undefined) return plain(value, units);
  const [a, b] = [bare(ends[1]), plain(ends[2], units)];
  return a !== null && b !== null ? (a + b) / 2 : null;
}

export const metres = (value: unknown) => read(value, LENGTH);
export const inDegrees = (value: unknown) => read(value, ANGLE);

/** Whether a place or a direction is one figure, which a drag may write over. */
export function isPlain(value: unknown): boolean {
  return typeof value === 'string' && plain(value, { ...LENGTH, ...ANGLE }) !== null;
}

/** A length as text, to the centimetre, in the unit of what stood there before. */
export function lengthText(value: number, before: unknown): string {
  const feet = typeof before === 'string' && /(ft|in)\s*$/.test(before);
  return feet ? `${tidy(value / 0.3048, 2)} ft` : `${tidy(value, 2)} m`;
}

export function angleText(value: number): string {
  return `${tidy(value, 1)} deg`;
}

function tidy(value: number, places: number): string {
  const text = value.toFixed(places).replace(/\.?0+$/, '');
  return text === '-0' ? '0' : text;
}

/** -180 exclusive to 180 inclusive. */
export function turned(angle: number): number {
  const once = ((angle % 360) + 360) % 360;
  return once > 180 ? once - 360 : once;
}
