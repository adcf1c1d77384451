// Keys of the plan file in words. What is not listed reads as its key does.

const WHOLE: Record<string, string> = {
  title: 'Title',
  place: 'Place',
  tried: 'Already tried without success',
  seed: 'Seed of the random draws',
  'casualty.mass': 'Mass of the casualty, load and people included',
  'casualty.depth': 'Measured depth',
  'casualty.slope_along': 'Slope along the pull',
  'casualty.slope_across': 'Slope across the pull',
  'casualty.stuck_for': 'Stuck for',
  'casualty.sits_in': 'It sits in',
  'casualty.sunk_to': 'Sunk to',
  'casualty.own_drive': 'Its own engine helps',
  'casualty.back_along_tracks': 'Pulled back the way it went in',
  'casualty.overturned': 'Lies on its side or roof',
  'casualty.free_after': 'Free after moving',
  'casualty.held_by': 'Held by',
  'casualty.held_by.what': 'What holds it',
  'casualty.held_by.yields_at': 'Yields at',
  'casualty.contact_area': 'Buried area that sticks',
  'casualty.locked_wheels': 'Wheels that cannot turn',
  'tug.mass': 'Mass of the tug, load and people included',
  'tug.surface': 'The tug stands on',
  'tug.slope_along': 'Slope along its pull',
  'tug.holds_drive': 'Driver stays on the throttle when the line comes taut',
  'people.crew': 'Crew, drivers included',
  'people.bystanders': 'Bystanders',
  'people.bystanders_at': 'Bystanders stand no closer to the line than',
  'boards.count': 'Traction boards',
  'boards.grip': 'Grip on a board',
  'tools.shovels': 'Shovels',
  'tools.inflator': 'Tyres can be filled again',
  'site.wind_from': 'Wind comes from, anticlockwise from the pull',
  'lowering.to': 'Place at the end',
  'lowering.from': 'Place at the start',
};

const LAST: Record<string, string> = {
  at: 'Where it stands',
  awg: 'AWG',
  by: 'Held back by',
  banks: 'Pickets in each bank',
  bends: 'Bends',
  cable_awg: 'Cable size, AWG',
  cg_height: 'Height of its centre of gravity',
  chocked: 'Every wheel chocked',
  condition: 'Condition',
  drag_area: 'Drag area',
  driven: 'Driven wheels',
  end: 'Which end it holds',
  equalising: 'Slides at its apex',
  facing: 'Nose points, anticlockwise from x',
  forward: 'Towards the nose (+) or tail (-)',
  gross_mass: 'Gross mass on its plate (GVM)',
  height: 'Height above the ground',
  hitch: 'Hitch round the trunk',
  kinetic: 'Made for kinetic pulls',
  knot: 'Knot in it',
  labelled: 'Label is there and legible',
  layer: 'Drum layer in use',
  mbs: 'Breaking strength (MBS)',
  mount_mbs: 'Breaking strength of the mount (MBS)',
  offset: 'Left (+) or right (-) of the centre line',
  parts_at: 'Parts at this share of its length',
  pin_gap: 'Free width on the pin',
  place: 'Place on the line',
  points: 'Between the points',
  preset: 'Data-plate like',
  rate: 'Faster is stiffer',
  rows: 'Rows of its data-plate',
  set: 'Stretch that stays',
  side_angle: 'Pull away from in line',
  slips_at: 'Slips at',
  stretch: 'Stretch at MBS',
  span: 'Distance between its points',
  torn_off_mass: 'What flies if it tears off',
  tows: 'Hauls its line as the tug does',
  wet: 'Wet through',
  what: 'What it is',
  wll: 'Working load limit (WLL)',
};

const HELP: Record<string, string> = {
  'casualty.slope_along': 'Uphill in the direction of the pull is positive, downhill negative.',
  'tug.slope_along': 'Uphill in its direction of driving is positive.',
  'casualty.mass': 'Not sure? Give a range, such as 2.2 t to 2.6 t.',
  'casualty.held_by.yields_at': 'Leave it out if nothing moves it: then it is a fixed end until it is cleared.',
};

export function labelOf(key: string): string {
  const last = key.split('.').at(-1) ?? key;
  return WHOLE[key] ?? LAST[last] ?? words(last);
}

export function helpOf(key: string): string | undefined {
  return HELP[key];
}

/** A key or a fixed word as people read it: `soft-sand` as soft sand. */
export function word(text: string): string {
  return text.replaceAll(/[-_]/g, ' ');
}

function words(key: string): string {
  const text = word(key);
  return text.charAt(0).toUpperCase() + text.slice(1);
}
