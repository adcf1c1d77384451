// Between what stands in a field and what stands in the plan file: a value as TOML writes it.

import type { Field } from '../contract/types.gen';

const PLAIN = /^[-+]?(\d+\.?\d*|\.\d+)(e[-+]?\d+)?$/i;

/** What was typed, as an edit has it; null where the field was emptied. */
export function valueOf({ kind }: Pick<Field, 'kind'>, text: string): unknown {
  const trimmed = text.trim();
  if (trimmed === '') return null;
  const plain = kind === 'number' || kind === 'count' || kind === 'other';
  if (plain && PLAIN.test(trimmed)) return Number(trimmed);
  if (kind === 'parts' && !trimmed.startsWith('[')) return trimmed.split(/[,\s]+/).filter(Boolean);
  if (kind === 'parts' || kind === 'other' || ((kind === 'quantity' || kind === 'number') && trimmed.startsWith('{'))) {
    return parseToml(trimmed) ?? trimmed;
  }
  return trimmed;
}

/** How it stands in a field. */
export function asText(value: unknown, kind: Field['kind'] = 'text'): string {
  if (value === null || value === undefined) return '';
  if (kind === 'parts' && Array.isArray(value) && value.every((part) => typeof part === 'string')) return value.join(', ');
  return typeof value === 'string' ? value : toml(value);
}

export function sameValue(a: unknown, b: unknown): boolean {
  return JSON.stringify(a ?? null) === JSON.stringify(b ?? null);
}

function toml(value: unknown): string {
  if (Array.isArray(value)) return `[${value.map(toml).join(', ')}]`;
  if (typeof value === 'object' && value !== null) {
    const entries = Object.entries(value).map(([key, inner]) => `${key} = ${toml(inner)}`);
    return entries.length === 0 ? '{}' : `{ ${entries.join(', ')} }`;
  }
  return typeof value === 'string' ? JSON.stringify(value) : String(value);
}

/** A TOML value without dates and multi-line text; undefined where it is none. */
export function parseToml(text: string): unknown {
  const reader = new Reader(text);
  const value = reader.value();
  return reader.wrong || !reader.atEnd() ? undefined : value;
}

class Reader {
  wrong = false;
  private at = 0;
  private readonly text: string;

  constructor(text: string) {
    this.text = text;
  }

  atEnd(): boolean {
    return this.take(/\s*/y) !== null && this.at === this.text.length;
  }

  value(): unknown {
    this.take(/\s*/y);
    if (this.take(/\[/y)) return this.list();
    if (this.take(/\{/y)) return this.table();
    const quoted = this.take(/"(?:[^"\\\n]|\\.)*"/y);
    if (quoted !== null) return this.unquoted(quoted);
    const literal = this.take(/'[^'\n]*'/y);
    if (literal !== null) return literal.slice(1, -1);
    const bare = this.take(/[-+.\w]+/y);
    if (bare === 'true' || bare === 'false') return bare === 'true';
    if (bare !== null && PLAIN.test(bare)) return Number(bare);
    this.wrong = true;
    return undefined;
  }

  private list(): unknown[] {
    const list: unknown[] = [];
    while (!this.wrong && !this.take(/\s*\]/y)) {
      list.push(this.value());
      if (!this.take(/\s*,/y) && !this.peek(/\s*\]/y)) this.wrong = true;
    }
    return list;
  }

  private table(): Record<string, unknown> {
    const table: Record<string, unknown> = {};
    while (!this.wrong && !this.take(/\s*\}/y)) {
      const key = this.take(/\s*[-\w]+\s*=/y);
      if (key === null) this.wrong = true;
      else table[key.replace('=', '').trim()] = this.value();
      if (!this.take(/\s*,/y) && !this.peek(/\s*\}/y)) this.wrong = true;
    }
    return table;
  }

  private unquoted(quoted: string): string {
    try {
      return JSON.parse(quoted) as string;
    } catch {
      this.wrong = true;
      return '';
    }
  }

  private take(pattern: RegExp): string | null {
    pattern.lastIndex = this.at;
    const found = pattern.exec(this.text);
    if (!found) return null;
    this.at = pattern.lastIndex;
    return found[0];
  }

  private peek(pattern: RegExp): boolean {
    pattern.lastIndex = this.at;
    return pattern.test(this.text);
  }
}
