import { AppError } from '../../../collector/contract/index.ts';
import type { Context } from '../endpoint.ts';
import type { Desk } from './desk.ts';

/**
 * Where accounts are kept.
 *
 * @throws {AppError} NOT_FOUND where none are
 */
export function deskOf({ desk }: Pick<Context, 'desk'>): Desk {
  if (desk === null) throw new AppError('NOT_FOUND', 'no accounts are kept here');
  return desk;
}
