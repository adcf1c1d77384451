// The short form of a rig (`layout`), written out run by run.

import type { Edit } from '../../contract/types.gen';
import { list, written, type Fields } from './kit';

const SHORT_KEYS = ['layout', 'tug_end', 'line', 'casualty_end', 'redirect_block', 'redirect_at', 'blocks', 'fixed_at', 'dead_end'];

/**
 * The short form (`layout`) written out run by run, as the documentation of plan files says
 * what each stands for; null where a part of it is missing.
 */
export function writtenOut(fields: Fields): Edit[] | null {
  const get = (key: string) => list(written(fields, `rig.${key}`));
  const one = (key: string) => written(fields, `rig.${key}`);
  const method = one('method');
  const winch = typeof method === 'string' && method.startsWith('winch');
  const tugEnd = get('tug_end').length > 0 ? get('tug_end') : winch ? ['tug.winch'] : [];
  const line = one('line') ?? (winch ? written(fields, 'tug.winch.line') : null);
  const redirect = one('redirect_block');
  const blocks = get('blocks');
  if (tugEnd.length === 0 || typeof line !== 'string') return null;

  const round = typeof redirect === 'string' ? [redirect] : [];
  const paths: Record<string, string[]> = {};
  switch (one('layout')) {
    case 'single-line':
    case 'redirect':
      paths.main = [...tugEnd, line, ...round, ...get('casualty_end')];
      break;
    case 'double-line':
    case 'triple-line':
      paths.main = [...tugEnd, line, ...round, ...blocks, ...get('dead_end')];
      if (blocks[0]) paths.moving = [blocks[0], ...get('casualty_end')];
      if (blocks[1]) paths.fixed = [blocks[1], ...get('fixed_at')];
      break;
    default:
      return null;
  }
  if (round[0]) paths.redirect = [round[0], ...get('redirect_at')];
  const gone = SHORT_KEYS.filter((key) => one(key) !== null).map((key) => ({ path: ['rig', key], value: null }));
  return [...gone, ...Object.entries(paths).map(([name, path]) => ({ path: ['rig', 'run', name, 'path'], value: path }))];
}
