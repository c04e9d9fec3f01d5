/*
 * Listens to what a controller writes on its connections and keeps the books on its outbox, with a parser that is not ours.
 * So the rehearsal knows what was sent, whatever the dashboard makes of it.
 */
import mqttPacket from 'mqtt-packet';
import { OutboxLedger } from '@bathkeeper/firmware/bench';

export interface OutboxTap {
  readonly ledgers: ReadonlyMap<number, OutboxLedger>;
  /** For each connection: give it every byte that the controller writes. */
  open(): (bytes: Uint8Array) => void;
}

export function outboxTap(): OutboxTap {
  const ledgers = new Map<number, OutboxLedger>();
  return {
    ledgers,
    open: () => {
      const parser = mqttPacket.parser({ protocolVersion: 4 });
      parser.on('packet', (packet) => {
        if (packet.cmd !== 'publish' || !packet.topic.endsWith('/outbox')) return;
        const message = JSON.parse(packet.payload.toString()) as { i: number; r?: number[][]; e?: number[][] };
        let ledger = ledgers.get(message.i);
        if (ledger === undefined) ledgers.set(message.i, (ledger = new OutboxLedger()));
        for (const row of message.r ?? []) ledger.addRecord(row);
        for (const row of message.e ?? []) ledger.addEvent(row);
      });
      return (bytes) => {
        parser.parse(Buffer.from(bytes));
      };
    },
  };
}
