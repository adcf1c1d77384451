// A table of the test file by a form: the least that it needs.
import { cleanName } from '../../../plans/names';
import type { OpenDay } from '../../../state/test_day.svelte';

/** A table with what was filled in, under a name that is free; false, and why in the day's trouble, where it was not made. */
export async function newTable(day: OpenDay, table: 'cell' | 'setup', name: string, values: Record<string, unknown>): Promise<boolean> {
  const key = cleanName(name);
  const taken = table === 'cell' ? day.cells : day.setups;
  if (key === null || taken.includes(key)) {
    day.trouble = key === null ? 'a name has letters, digits and hyphens' : `there is a [${table}.${key}] already: give another name`;
    return false;
  }
  return day.edit(filledIn([table, key], values));
}

/** Changes for every key that has a value. */
export function filledIn(table: string[], values: Record<string, unknown>) {
  return Object.entries(values).filter(([, value]) => value !== '').map(([key, value]) => ({ path: [...table, key], value }));
}
