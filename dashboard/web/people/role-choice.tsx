import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';
import { ROLES, type Role } from '../../../collector/contract/roles.ts';
import { Choice } from './choice.tsx';

const MAY: Readonly<Record<Role, string>> = {
  wall: 'wall: looks, changes nothing',
  fitter: 'fitter: also logs work',
  engineer: 'engineer: also tunes and states figures',
  administrator: 'administrator: also gives and takes accounts',
};

/** A role with what it may do. */
export function RoleChoice({ value }: { value: Signal<Role> }): JSX.Element {
  return <Choice label="Role" value={value} options={ROLES.map((one) => ({ value: one, words: MAY[one] }))} />;
}
