/*
 * Listens to what a controller writes on its connections and keeps the books on its outbox, with a parser that is not ours.
 * So the rehearsal knows what was sent, whatever the dashboard makes of it.
 */
import mqttPacket from 'mqtt-packet';
import { OutboxLedger, outboxRows } from '@bathkeeper/firmware/bench';

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
        const message = JSON.parse(packet.payload.toString()) as { i: number };
        let ledger = ledgers.get(message.i);
        if (ledger === undefined) ledgers.set(message.i, (ledger = new OutboxLedger()));
        const { records, events, foreign } = outboxRows({ ...message });
        if (foreign.length > 0) throw new Error(`sent what is no row: ${JSON.stringify(foreign)}`);
        for (const row of records) ledger.addRecord(row);
        for (const row of events) ledger.addEvent(row);
      });
      return (bytes) => {
        parser.parse(Buffer.from(bytes));
      };
    },
  };
}
