import { describe, expect, it } from 'vitest';
import { ByteWriter } from '../../../collector/store/bytes.ts';

describe('growing bytes', () => {
  for (const write of ['u8', 'u16', 'u32', 'f64', 'bytes'] as const)
    it(`keeps what ${write} writes at the place where the room ends`, () => {
      const out = new ByteWriter();
      // Into the last free byte, so that the next number makes it grow.
      for (let index = 0; index < 16 * 1024; index++) out.u8(1);
      if (write === 'bytes') out.bytes(Uint8Array.of(7, 7));
      else out[write](7);
      expect(
        out
          .written()
          .subarray(16 * 1024)
          .some((byte) => byte !== 0),
      ).toBe(true);
    });
});
