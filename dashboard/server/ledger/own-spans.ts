/*
 * When a bath stood under a controller whose runs are its own. A simulated controller puts no charge through a real tank, nor a real one through a simulated tank: such
 * an entry, which stores of earlier versions may hold, counts nowhere. Asked by whatever counts a bath's runs. Reads only.
 */
import { type ControllerSpan, controllerSpans, type LedgerBath, type LedgerEntry } from '@bathkeeper/shared-core/trade';
import type { Store } from '../store/store.js';

export type OwnSpans = (
  bath: Pick<LedgerBath, 'isSimulated'>,
  entries: readonly LedgerEntry[],
) => readonly ControllerSpan[];

export function openOwnSpans(store: Store): OwnSpans {
  const isSimulated = openIsSimulated(store);
  return (bath, entries) =>
    controllerSpans(entries).filter(({ controllerId }) => isSimulated(controllerId) === bath.isSimulated);
}

/** Of a virtual bath that has gone its mark is left, and no real controller is ever paired under that name. */
function openIsSimulated({ database, setting }: Store): (controllerId: string) => boolean {
  const paired = database.prepare<[string], { is_simulated: number }>(
    'SELECT is_simulated FROM controllers WHERE controller_id = ?',
  );
  return (controllerId) => {
    const row = paired.get(controllerId);
    return row === undefined ? setting(`simulated:${controllerId}`) !== undefined : row.is_simulated === 1;
  };
}

/** What somebody reads who puts a bath under a controller of the other kind; undefined: it fits. */
export function otherKindFault(
  bath: LedgerBath,
  controller: { readonly controllerId: string; readonly isSimulated: boolean },
): string | undefined {
  if (bath.isSimulated === controller.isSimulated) return undefined;
  return controller.isSimulated
    ? `controllerId: expected a real controller for “${bath.name}”, got “${controller.controllerId}”, which is simulated: the ampere-hours of its runs never went through this tank, and brightener would be dosed for them. Pair the controller of this tank, then put the bath under that one.`
    : `controllerId: expected a simulated controller for “${bath.name}”, which is simulated, got “${controller.controllerId}”, which is real. Begin a ledger for the real bath, and put that one under it.`;
}
