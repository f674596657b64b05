import { createReadStream } from 'node:fs';
import { basename } from 'node:path';
import { AppError } from '../../collector/contract/index.ts';
import { type Arriving, Uploads } from '../../collector/index.ts';
import type { ArrivingBundle, Clock, StudyFiles } from '../server/index.ts';

/** Bundles that may be on their way at once; the one that was begun first gives way. Source: own choice, as many as studies may wait. */
const MOST_ARRIVING = 8;

/** After so long without a piece of it a bundle is let go, ms. Source: own choice, because a network comes back, and who sends looks on, within the hour. */
const KEPT_MS = 3_600_000;

interface Begun extends Arriving {
  readonly who: string;
  /** Has it stay beyond the hour since its last piece. */
  stay: () => void;
}

/**
 * Study bundles on their way in and out of the service, as files in its data folder; those of which no piece came for an hour, and
 * those that a stop left behind, are taken away.
 *
 * @param maxBytes longest bundle that is taken
 * @param maxPieceBytes longest piece of it that one request may bring
 */
export function studyFolder(
  dir: string,
  maxBytes: number,
  maxPieceBytes: number,
  clock: Pick<Clock, 'after'>,
): StudyFiles {
  const uploads = new Uploads(dir, 'studies');
  uploads.sweep(new Set());
  const arriving = new Map<string, Begun>();
  let next = 1;
  const shown = ({ id, file, bytes }: Begun): ArrivingBundle => ({ id, file, bytes, received: uploads.size(id) });
  const known = (id: string): Begun => {
    const begun = arriving.get(id);
    if (begun === undefined)
      throw new AppError(
        'NOT_FOUND',
        `there is no study bundle ${id} on its way, and one of which nothing comes for an hour is let go; begin to send it anew`,
      );
    return begun;
  };
  const forget = (id: string): void => {
    known(id).stay();
    uploads.delete(id);
    arriving.delete(id);
  };
  const keepForAWhile = (begun: Begun): void => {
    begun.stay();
    if (arriving.get(begun.id) === begun) begun.stay = clock.after(KEPT_MS, () => forget(begun.id));
  };
  const drop = (file: string): void => uploads.delete(basename(file));
  return {
    maxPieceBytes,
    async begin(file, bytes, who) {
      if (bytes > maxBytes)
        throw new AppError(
          'BODY_TOO_LARGE',
          `${file}: found ${bytes} bytes, expected a study bundle of no more than ${maxBytes} (http.maxImportBytes); “driftline replay --bundle” opens it without the network`,
        );
      const before = [...arriving.values()].find((one) => one.file === file && one.bytes === bytes && one.who === who);
      if (before !== undefined) {
        keepForAWhile(before);
        return shown(before);
      }
      await uploads.checkRoom(bytes);
      const [first] = arriving.keys();
      if (first !== undefined && arriving.size >= MOST_ARRIVING) forget(first);
      const begun: Begun = { id: String(next++), file, bytes, who, stay: () => undefined };
      uploads.create(begun.id);
      arriving.set(begun.id, begun);
      keepForAWhile(begun);
      return shown(begun);
    },
    async append(id, offset, from) {
      const begun = known(id);
      // A piece that is still on its way is not to lose what it is added to.
      begun.stay();
      try {
        await uploads.append(begun, offset, from, maxPieceBytes);
      } finally {
        keepForAWhile(begun);
      }
      return shown(begun);
    },
    forget,
    take(id) {
      const { file, bytes, stay } = known(id);
      const received = uploads.size(id);
      if (received < bytes) throw new AppError('EDITED_MEANWHILE', `${file}: ${received} bytes of ${bytes} are here`);
      stay();
      arriving.delete(id);
      return { name: file, file: uploads.path(id) };
    },
    newFile: () => uploads.path(String(next++)),
    open(file) {
      const bytes = createReadStream(file);
      bytes.once('close', () => drop(file));
      return bytes;
    },
    drop,
  };
}
