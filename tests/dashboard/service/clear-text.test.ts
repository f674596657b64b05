import { expect, test } from 'vitest';
import { clearTextWarning } from '../../../dashboard/service/clear-text.ts';

const NO_TLS = { certificate: null, key: null, mqttPort: 8883, plainMqtt: 'everywhere' } as const;
const TLS = { ...NO_TLS, certificate: 'hall.crt', key: 'hall.key' } as const;

test.each(['127.0.0.1', '127.1.2.3', '::1', 'localhost'])(
  'nothing is said of %s, which only this machine reaches',
  (bind) => {
    expect(clearTextWarning({ bind, tls: NO_TLS })).toBeNull();
  },
);

test.each(['0.0.0.0', '::', '192.168.4.20'])('%s without TLS is told to be in clear text, in one line', (bind) => {
  expect(clearTextWarning({ bind, tls: NO_TLS })).toMatch(/^warning: [^\n]*clear text[^\n]*$/);
});

test('plain MQTT beside TLS is told of', () => {
  expect(clearTextWarning({ bind: '0.0.0.0', tls: TLS })).toContain('plainMqtt: loopback');
});

test.each(['loopback', 'off'] as const)('TLS with plain MQTT %s needs no warning', (plainMqtt) => {
  expect(clearTextWarning({ bind: '0.0.0.0', tls: { ...TLS, plainMqtt } })).toBeNull();
});
