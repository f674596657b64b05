import { AppError } from '../../../collector/contract/index.ts';
import type { DashboardSources } from '../sources.ts';
import type { ShopSource } from './shop-source.ts';

/** @throws {AppError} NOT_FOUND where none is kept */
export function shopOf({ shop }: DashboardSources): ShopSource {
  if (!shop) throw new AppError('NOT_FOUND', 'no shelf, lives, costs and journal are kept here');
  return shop;
}
