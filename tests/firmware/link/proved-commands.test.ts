/* The bundle that is flashed, in the virtual bath, before a peer that sends good commands, forged ones, and yesterday's again. */
import { bundleText, simulatedBoardSettings, StandInDashboard, VirtualBath } from '@bathkeeper/firmware/bench';
import { Command, EventKind } from '@bathkeeper/shared-core/control';
import { EventColumn, PROOF_DIGITS, topicOf } from '@bathkeeper/shared-core/messages';
import { describe, expect, it } from 'vitest';

const settings = simulatedBoardSettings();
const COMMAND = topicOf(settings.controllerId, 'command');

function online(standIn: StandInDashboard): VirtualBath {
  const bath = new VirtualBath({ bundle: bundleText(), seed: 11, settings, faults: [], network: standIn });
  expect(standIn.playUntil(bath, () => standIn.live !== undefined, 60)).toBe(true);
  return bath;
}
/** What the events of this kind say: code, a, b. */
const told = (standIn: StandInDashboard, kind: number): number[][] =>
  standIn
    .ledger!.events.filter((row) => row[EventColumn.kind] === kind)
    .map((row) => [row[EventColumn.code]!, row[EventColumn.a]!, row[EventColumn.b]!]);

/** The stand-in's commands as they went out, to be sent again by somebody else. */
class Eavesdropper extends StandInDashboard {
  readonly overheard: string[] = [];
  override sendCommandText(payload: string): boolean {
    this.overheard.push(payload);
    return super.sendCommandText(payload);
  }
}

describe('the flashed program', () => {
  it('answers a proved command, and tells of a forged one without obeying it', () => {
    const standIn = new StandInDashboard(settings);
    const bath = online(standIn);
    standIn.sendCommand(Command.acknowledge);
    standIn.play(bath, 5);
    const forged = JSON.stringify({
      v: 1,
      d: 99,
      n: 9e13,
      k: Command.stop,
      i: standIn.live!.incarnation,
      b: 1,
      x: 1e7,
    });
    standIn.sendCommandText('0'.repeat(PROOF_DIGITS) + forged);
    standIn.sendCommandText(standIn.proof(forged) + forged);
    standIn.play(bath, 10);
    expect(told(standIn, EventKind.commandAnswered).map(([code, id]) => [code, id])).toEqual([
      [Command.acknowledge, 1],
    ]);
    expect(told(standIn, EventKind.commandRefused)).toEqual([[1, 0, 2]]);
    expect(standIn.complaints).toEqual([]);
  });

  it('refuses what it has taken before, also after its power failed', () => {
    const peer = new Eavesdropper(settings);
    const bath = online(peer);
    peer.sendCommand(Command.acknowledge);
    peer.play(bath, 5);
    bath.powerCut(2);
    peer.dropConnection();
    peer.play(bath, 120);
    expect(peer.live!.boot).toBe(2);
    peer.sendCommandText(peer.overheard[0]!);
    // With a new proof it could not be told from a new one but by its counter; made by nobody without the secret.
    const fields = JSON.parse(peer.overheard[0]!.slice(PROOF_DIGITS)) as object;
    const again = JSON.stringify({ ...fields, b: 2, x: 1e7 });
    peer.sendCommandText(peer.proof(`${COMMAND}\n${again}`) + again);
    peer.play(bath, 10);
    expect(told(peer, EventKind.commandRefused)).toEqual([[2, 1, 2]]);
    expect(told(peer, EventKind.commandAnswered)).toHaveLength(1);
  });
});
