/*
 * Messages that were not taken, told to the log once for each kind and to the watch each time. Opened by the composition root for broker and
 * ingest. What becomes an alarm is decided in refusals.ts.
 */
import type { Logger } from 'pino';

/** A stranger can invent kinds without end. */
const KINDS_MAX = 1000;

export function openRefusedMessages(
  log: Logger,
  tell: (who: string, why: string) => void,
): (who: string, why: string) => void {
  const toldKinds = new Set<string>();
  return (who, why) => {
    const kind = `${who}: ${why.replace(/\d+/g, '#')}`;
    if (toldKinds.size < KINDS_MAX && !toldKinds.has(kind)) {
      toldKinds.add(kind);
      log.warn({ who, why }, 'message refused (told once per kind)');
    }
    tell(who, why);
  };
}
