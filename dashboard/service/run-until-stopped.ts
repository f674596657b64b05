import { setFlagsFromString } from 'node:v8';
import { collectOnce, runHelpersBehind } from '../../collector/index.ts';
import { boundGarbage } from './bound-garbage.ts';
import { type Service, type ServiceOptions, startService } from './run-service.ts';

/** A stop that takes longer has failed, ms. Source: own choice: README promises ten seconds. */
const MOST_STOP_MS = 9500;

/**
 * Runs the service until SIGTERM or SIGINT comes or a part of it dies. Says `ready …` on standard error when it takes readings.
 *
 * @param beside what else runs as long as the service does; its result ends it
 * @throws {AppError} whatever the start throws, or why a part died
 */
export async function runUntilStopped(
  options: ServiceOptions,
  beside?: (service: Service) => Promise<() => Promise<void>>,
): Promise<void> {
  // Young garbage is collected by the thread that made it: on a busy machine waiting for V8's helper threads costs more
  // than they do (measured with `npm run bench -- intake`).
  setFlagsFromString('--no-parallel-scavenge');
  boundGarbage();
  // Measured in alternating rounds: one client with 100 in flight gets a tenth more through. Not lower: collecting waits for them now and then.
  runHelpersBehind(5);
  const asked = new Promise<void>((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.once(signal, () => resolve());
  });
  const service = await startService({ warm: true, ...options });
  const renew = (): void => {
    service.renewTls().catch((error: unknown) => {
      process.stderr.write(`certificate and key of before stay: ${(error as Error).message}\n`);
    });
  };
  let endBeside: (() => Promise<void>) | null = null;
  try {
    collectOnce();
    if (service.mqttsUrl !== null) process.stderr.write(`MQTT over TLS at ${service.mqttsUrl}\n`);
    process.stderr.write(`ready mqtt=${service.mqttUrl} http=${service.httpUrl}\n`);
    if (service.notice !== null) process.stderr.write(`${service.notice}\n`);
    // Without a certificate there is nothing to renew, and the signal ends the service as it ends any program.
    if (service.mqttsUrl !== null) process.on('SIGHUP', renew);
    if (beside) endBeside = await beside(service);
    await Promise.race([asked, service.ended]);
  } finally {
    const patience = setTimeout(() => {
      process.stderr.write(`the service did not stop within ${MOST_STOP_MS / 1000} s and was ended\n`);
      // An orderly exit waits for what other threads do in native code, a locked store for ten seconds more. What was acknowledged is on disk.
      process.kill(process.pid, 'SIGKILL');
    }, MOST_STOP_MS);
    try {
      await endBeside?.();
      await service.stop();
    } finally {
      clearTimeout(patience);
      process.off('SIGHUP', renew);
    }
  }
}
