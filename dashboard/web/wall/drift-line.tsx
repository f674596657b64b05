import type { JSX } from 'preact';
import type { WallGun } from '../../server/wall-model.ts';

/** A line from new (left) to the change limit (right), thick as far as the wear has come, with its 80 % interval. */
export function DriftLine({ gun, known }: { gun: WallGun; known: boolean }): JSX.Element {
  const { wearLeft, excessAir, changeLimit } = gun;
  // The interval is that of the excess air; its middle is the wear, from which what other parts cost is taken out.
  const at = (excess: number): number => {
    const share = 1 - (wearLeft ?? 1) + (excess - (excessAir?.p50 ?? excess)) / (changeLimit ?? 1);
    return 1000 * Math.min(1, Math.max(0, share));
  };
  return (
    <svg class="drift" viewBox="0 0 1000 20" preserveAspectRatio="none" aria-hidden="true">
      <path class="drift-way" d="M0 10H1000" />
      {known && wearLeft !== null && excessAir && changeLimit && (
        <>
          <path class="drift-doubt" d={`M${at(excessAir.p10)} 10H${at(excessAir.p90)}`} />
          <path class="drift-worn" d={`M0 10H${at(excessAir.p50)}`} />
        </>
      )}
      <path class="drift-limit" d="M998 0V20" />
    </svg>
  );
}
