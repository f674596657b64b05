import { createHmac } from 'node:crypto';

/**
 * Signature of a webhook: HMAC-SHA256 over `id.timestamp.body`, so that neither body nor time can be changed, nor an old message
 * sent again unnoticed.
 *
 * @param secret `whsec_` and base64, or any text, whose bytes are the key then
 * @param timestampS Unix time of sending, s
 * Source: Standard Webhooks specification 1.0 (open, Apache 2.0), "Signature scheme", symmetric v1.
 * @example
 * signWebhook('whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw', 'msg_p5jXN8AQM9LWM0D4loKWxJek', 1614265330, '{"test": 2432232314}'); // 'v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE='
 */
export function signWebhook(secret: string, id: string, timestampS: number, body: string): string {
  const key = secret.startsWith('whsec_') ? Buffer.from(secret.slice(6), 'base64') : Buffer.from(secret, 'utf8');
  return `v1,${createHmac('sha256', key).update(`${id}.${timestampS}.${body}`).digest('base64')}`;
}
