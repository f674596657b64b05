import type { Signal } from '@preact/signals';
import type { JSX } from 'preact';
import { ROLES, type Role } from '../../../collector/contract/roles.ts';

const MAY: Readonly<Record<Role, string>> = {
  wall: 'wall: looks, changes nothing',
  fitter: 'fitter: also logs work',
  engineer: 'engineer: also tunes and states figures',
  administrator: 'administrator: also gives and takes accounts',
};

/** A role with what it may do. */
export function RoleChoice({ value }: { value: Signal<Role> }): JSX.Element {
  return (
    <label class="field">
      <span>Role</span>
      <select
        value={value.value}
        onChange={(event) => {
          value.value = ROLES.find((one) => one === event.currentTarget.value) ?? value.value;
        }}
      >
        {ROLES.map((one) => (
          <option key={one} value={one}>
            {MAY[one]}
          </option>
        ))}
      </select>
    </label>
  );
}
