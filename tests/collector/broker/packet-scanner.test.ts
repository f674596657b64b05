import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { PacketScanner } from '../../../collector/broker/packet-scanner.ts';
import { packet } from './raw-client.ts';

const scan = (scanner: PacketScanner): string[] => {
  const found: string[] = [];
  while (scanner.next()) found.push(scanner.buffer.toString('hex', scanner.start, scanner.end));
  return found;
};

describe('packet scanner', () => {
  test('finds the same packets however the stream is cut', () => {
    const packets = fc.array(
      fc
        .tuple(fc.integer({ min: 0, max: 255 }), fc.uint8Array({ maxLength: 400 }))
        .map(([first, body]) => packet(first, Buffer.from(body))),
      { maxLength: 8 },
    );
    fc.assert(
      fc.property(packets, fc.array(fc.integer({ min: 1, max: 300 }), { minLength: 1 }), (whole, cuts) => {
        const scanner = new PacketScanner(1000);
        const stream = Buffer.concat(whole);
        const found: string[] = [];
        for (let at = 0, turn = 0; at < stream.length; turn++) {
          const next = at + cuts[turn % cuts.length]!;
          scanner.push(stream.subarray(at, next));
          found.push(...scan(scanner));
          at = next;
        }
        expect(found).toEqual(whole.map((bytes) => bytes.toString('hex')));
        expect(scanner.fault).toBeNull();
        expect(scanner.waiting).toBe(false);
      }),
    );
  });

  test.each([100, 1000, 70_000, 200_000, 1_500_000, 3_000_000])(
    'keeps a packet of %i bytes whole however it comes',
    (length) => {
      const body = Buffer.alloc(length, 'a packet that tells where it is cut');
      const bytes = packet(0x32, body);
      for (const cut of [1000, 65_536, length]) {
        const scanner = new PacketScanner(4_000_000);
        const found: Buffer[] = [];
        for (let at = 0; at < bytes.length; at += cut) {
          scanner.push(bytes.subarray(at, at + cut));
          while (scanner.next()) found.push(Buffer.from(scanner.buffer.subarray(scanner.start, scanner.end)));
        }
        expect(found).toHaveLength(1);
        expect(bytes.equals(found[0]!)).toBe(true);
      }
    },
  );

  test('sets little aside for what was merely announced, and shares a long packet with other threads', () => {
    const bytes = packet(0x32, Buffer.alloc(4_000_000));
    const scanner = new PacketScanner(8_000_000);
    const before = process.memoryUsage().arrayBuffers;
    scanner.push(bytes.subarray(0, 100));
    expect(scanner.next()).toBe(false);
    expect(process.memoryUsage().arrayBuffers - before).toBeLessThan(100_000);
    for (let at = 100; at < bytes.length; at += 65_536) scanner.push(bytes.subarray(at, at + 65_536));
    expect(scanner.next()).toBe(true);
    expect(scanner.buffer.buffer).toBeInstanceOf(SharedArrayBuffer);
  });

  test('keeps what was not taken in front of what comes next', () => {
    const scanner = new PacketScanner(100);
    scanner.push(Buffer.concat([packet(0xc0), packet(0xe0)]));
    expect(scanner.next()).toBe(true);
    scanner.unread();
    scanner.push(packet(0x40, Buffer.of(0, 1)));
    expect(scan(scanner)).toEqual(['c000', 'e000', '40020001']);
  });

  // MQTT 3.1.1 table 2.4: the largest remaining length takes four bytes.
  test('refuses a remaining length of five bytes', () => {
    const scanner = new PacketScanner(1000);
    scanner.push(Buffer.of(0x30, 0x80, 0x80, 0x80, 0x80, 0x01));
    expect(scanner.next()).toBe(false);
    expect(scanner.fault).toBe('the remaining length is longer than four bytes');
  });

  test.each([
    [99, null],
    [100, null],
    [101, 'a packet of 101 bytes is longer than the 100 that are taken'],
  ])('takes packets up to the limit of 100 bytes: %i', (bytes, fault) => {
    const scanner = new PacketScanner(100);
    scanner.push(packet(0x30, Buffer.alloc(bytes - 2)));
    expect(scanner.next()).toBe(fault === null);
    expect(scanner.fault).toEqual(fault);
  });

  test('refuses a packet over the limit by its header alone', () => {
    const scanner = new PacketScanner(1000);
    scanner.push(Buffer.of(0x30, 0xff, 0xff, 0xff, 0x7f));
    expect(scanner.next()).toBe(false);
    expect(scanner.fault).toBe('a packet of 268435460 bytes is longer than the 1000 that are taken');
  });
});
