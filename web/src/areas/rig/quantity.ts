// Places as a plan file writes them. Only plain figures are read: what is written as a range
// is never overwritten by a drag.

const LENGTH: Record<string, number> = { m: 1, cm: 0.01, mm: 0.001, ft: 0.3048, in: 0.0254 };
const ANGLE: Record<string, number> = { deg: 1, '°': 1 };

function read(text: unknown, units: Record<string, number>): number | null {
  if (typeof text !== 'string') return null;
  const found = /^\s*([-+]?(?:\d+\.?\d*|\.\d+))\s*(\S+)\s*$/.exec(text);
  const unit = units[found?.[2] ?? ''];
  return found && unit !== undefined ? Number(found[1]) * unit : null;
}

export const metres = (text: unknown) => read(text, LENGTH);
export const inDegrees = (text: unknown) => read(text, ANGLE);

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
