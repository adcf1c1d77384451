// How this device likes to read: units and look. Kept on the device, not in plans.

import type { ReadUnits } from '../contract/types.gen';
import { Units } from '../show/number';
import { remembered, remember } from './memory';

export const LOOKS = [
  { id: 'light', name: 'Light' },
  { id: 'dark', name: 'Dark' },
  { id: 'sunlight', name: 'Sunlight' },
] as const;

export type Look = (typeof LOOKS)[number]['id'];

class Settings {
  units = $state<ReadUnits>(remembered('units') === 'imperial' ? 'imperial' : 'metric');
  look = $state<Look>(LOOKS.find((l) => l.id === remembered('look'))?.id ?? preferred());
  /** Prints numbers in the units that people read. */
  read = $derived(new Units(this.units));

  setUnits(units: ReadUnits): void {
    this.units = units;
    remember('units', units);
  }

  setLook(look: Look): void {
    this.look = look;
    remember('look', look);
  }
}

/** What the device asks for, before anybody chose. */
function preferred(): Look {
  if (matchMedia('(prefers-contrast: more)').matches) return 'sunlight';
  return matchMedia('(prefers-color-scheme: dark)').matches ? 'dark' : 'light';
}

export const settings = new Settings();
