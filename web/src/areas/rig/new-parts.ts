// Parts that can be added to the kit, each with figures to begin with. They are examples of
// usual gear, to be put right from the tag; nothing is taken as looked at that was not.

import type { Sort } from './kit';

export interface NewPart {
  sort: Sort;
  /** What the choice says. */
  label: string;
  /** The name begins with it. */
  stem: string;
  table: Record<string, unknown>;
}

export const NEW_PARTS: NewPart[] = [
  { sort: 'shackle', label: 'Bow shackle', stem: 'bow', table: { kind: 'bow', wll: '4.75 t' } },
  { sort: 'shackle', label: 'Soft shackle', stem: 'soft', table: { kind: 'soft', mbs: '14 t' } },
  { sort: 'line', label: 'Low-stretch tow strap', stem: 'strap', table: { material: 'polyester-webbing', length: '9 m', mbs: '9 t' } },
  { sort: 'line', label: 'Low-stretch rope', stem: 'rope', table: { material: 'hmpe', length: '20 m', mbs: '10 t' } },
  { sort: 'line', label: 'Kinetic strap', stem: 'kinetic', table: { material: 'nylon-webbing', length: '9 m', mbs: '8 t' } },
  { sort: 'line', label: 'Trunk strap', stem: 'trunk-strap', table: { material: 'polyester-webbing', length: '3 m', mbs: '12 t', hitch: 'basket' } },
  { sort: 'block', label: 'Block', stem: 'block', table: { wll: '8 t' } },
  { sort: 'ring', label: 'Ring', stem: 'ring', table: { wll: '8 t' } },
  { sort: 'bridle', label: 'Bridle', stem: 'bridle', table: { material: 'polyester-webbing', length: '3 m', mbs: '12 t' } },
  { sort: 'damper', label: 'Damper', stem: 'bag', table: { mass: '5 kg', place: 'middle' } },
  // Whether a tree is sound has to be looked at: until then it is not.
  { sort: 'anchor', label: 'Anchor: tree', stem: 'tree', table: { kind: 'tree', stem_diameter: '40 cm', sound: false } },
  { sort: 'anchor', label: 'Anchor: pickets', stem: 'pickets', table: { kind: 'pickets', banks: [3, 2, 1], ground: 'wet' } },
  { sort: 'anchor', label: 'Anchor: deadman', stem: 'deadman', table: { kind: 'deadman', depth: '1 m', line_slope: '1 in 4', face: '30 cm', length: '1.5 m', ground: 'wet' } },
  { sort: 'anchor', label: 'Anchor: plate', stem: 'plate', table: { kind: 'plate', pins: 9, ground: 'wet' } },
  { sort: 'anchor', label: 'Anchor: vehicle', stem: 'vehicle', table: { kind: 'vehicle', facing: '180 deg', mass: '2.4 t', surface: 'grass', point: { front: { kind: 'rated', wll: '4.5 t' } } } },
];
