import fc from 'fast-check';
import { expect, test } from 'vitest';
import { LiteralWords, PayloadMemory } from '../../../collector/decode/literal-words.ts';

const ascii = fc.string({
  unit: fc.integer({ min: 1, max: 127 }).map((code) => String.fromCharCode(code)),
  maxLength: 40,
});

test('a piece is found where its bytes are, and nowhere else', () => {
  fc.assert(
    fc.property(
      ascii,
      ascii,
      fc.nat(20),
      fc.nat(39),
      fc.integer({ min: 1, max: 255 }),
      (first, second, before, at, flip) => {
        const sample = Buffer.from(`${first}1${second}`, 'latin1');
        const words = LiteralWords.of(sample, [0, first.length, first.length + 1, sample.length])!;
        expect([words.lengthOf(0), words.lengthOf(1)]).toEqual([first.length, second.length]);
        const bytes = Buffer.concat([Buffer.alloc(before, 200), Buffer.from(second, 'latin1'), Buffer.alloc(9)]);
        const payload = bytes.subarray(before);
        const view = new PayloadMemory().viewOf(payload);
        expect(words.isAt(1, view, payload.byteOffset)).toBe(true);
        if (at >= second.length) return;
        // One byte is another, any of them by any bits.
        payload[at]! ^= flip;
        expect(words.isAt(1, view, payload.byteOffset)).toBe(false);
      },
    ),
  );
});

test('bytes of which words might be no number, or a zero of two signs, make no pieces', () => {
  for (const byte of [0, 128, 255]) {
    const sample = Buffer.from(`abcdefg${String.fromCharCode(byte)}ijk`, 'latin1');
    expect(LiteralWords.of(sample, [0, sample.length])).toBeNull();
    // Beside the pieces they do not matter.
    expect(LiteralWords.of(sample, [0, 7, 8, sample.length])).not.toBeNull();
  }
});

test('a view is of the memory that the bytes at hand lie in', () => {
  const memory = new PayloadMemory();
  for (const text of ['one', 'other', 'one']) {
    const bytes = Buffer.from(new Uint8Array(Buffer.from(text)).buffer);
    expect(memory.viewOf(bytes).buffer).toBe(bytes.buffer);
    expect(memory.viewOf(bytes.subarray(1)).getUint8(1)).toBe(bytes[1]);
  }
});
