// The words for people of what the contract names: the same as the command line's.

import type { MethodName, RungVerdict, SpeedStands } from '../contract/types.gen';

export const METHOD: Record<MethodName, string> = {
  'clear-and-dig': 'Clear and dig',
  'air-down-and-boards': 'Air down and boards',
  'steady-tow': 'Steady tow',
  'winch-single': 'Winch, single line',
  'winch-multi': 'Winch, multi-part line',
  kinetic: 'Kinetic pull',
  lower: 'Lower down the slope',
};

export const VERDICT: Record<RungVerdict, string> = {
  first: 'FIRST',
  step: 'STEP',
  reserve: 'RESERVE',
  'too-weak': 'TOO WEAK',
  'not-on-hand': 'NOT ON HAND',
  'ruled-out': 'RULED OUT',
};

/** What a verdict means. */
export const MEANING: Record<RungVerdict, string> = {
  first: 'use this first: the least hazardous that works',
  step: 'worth doing; probably not enough alone',
  reserve: 'would work, but a less hazardous method does too',
  'too-weak': 'will probably not shift it',
  'not-on-hand': 'the gear or the ground for it is not there',
  'ruled-out': 'out: something would be overloaded, is refused or cannot be stopped',
};

export const STANDS: Record<SpeedStands, string> = {
  'too-slow': 'too slow',
  inside: 'in the window',
  close: 'just in',
  'too-fast': 'TOO FAST',
  'too-slow-and-too-fast': 'NEITHER',
};

/** As a sentence; a number and its unit stay on one line. */
export function sentence(words: string): string {
  if (words === '') return '';
  const glued = words.replace(/(\d) (?=%|kN|kJ|J\b|m\b|s\b|km\/h|mph|lbf|ft\b)/g, '$1\u00a0');
  return glued[0]!.toUpperCase() + glued.slice(1) + (/[.!?]$/.test(glued) ? '' : '.');
}
