// The form as it will be once the changes that wait for the engine are in the text.

import type { Edit, Field } from '../contract/types.gen';

export function withPending(fields: Field[], pending: Edit[]): Map<string, Field> {
  const map = new Map(fields.map((field) => [field.key, field]));
  for (const edit of pending) {
    if (!('value' in edit)) continue;
    for (const field of fields) {
      if (!startsWith(field.path, edit.path)) continue;
      const whole = field.path.length === edit.path.length;
      const value = whole ? edit.value : below(edit.value, field.path.slice(edit.path.length));
      map.set(field.key, { ...field, written: value ?? null, problem: null });
    }
  }
  return map;
}

function startsWith(path: string[], begin: string[]): boolean {
  return begin.every((step, i) => path[i] === step);
}

function below(value: unknown, path: string[]): unknown {
  return path.reduce<unknown>(
    (inner, step) => (typeof inner === 'object' && inner !== null ? (inner as Record<string, unknown>)[step] : null),
    value,
  );
}
