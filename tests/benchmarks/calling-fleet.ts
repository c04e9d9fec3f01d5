/*
 * A thousand controllers in a process of their own, over real MQTT connections: each says its live message once a second and its records every
 * five. Started by calling-benchmarks.ts; on a message with a controller's place it tells that the emergency stop was pressed there, and when.
 */
import mqtt, { type MqttClient } from 'mqtt';
import { mqttPassword } from '@bathkeeper/dashboard';
import { Condition, EventKind } from '@bathkeeper/shared-core/control';
import { topicOf } from '@bathkeeper/shared-core/messages';
import { eventRow, liveMessage, outbox, recordRow } from '../dashboard/server/quiet-bath.js';

export interface FleetOrder {
  readonly port: number;
  readonly count: number;
  readonly secret: string;
}
export const controllerAt = (place: number): string => `bath-${String(place)}`;

const RECORD_SECONDS = 5;
/** The broker takes no more log-ins at once than it can hash. */
const TOGETHER = 3;

async function connected(order: FleetOrder, place: number): Promise<MqttClient> {
  const controllerId = controllerAt(place);
  return mqtt.connectAsync({
    host: '127.0.0.1',
    port: order.port,
    username: controllerId,
    password: mqttPassword(order.secret),
    clientId: controllerId,
    protocolVersion: 4,
    keepalive: 60,
    reconnectPeriod: 0,
    connectTimeout: 120_000,
  });
}

async function run(order: FleetOrder): Promise<void> {
  const clients: MqttClient[] = [];
  // A few at a time: each log-in is a hash.
  for (let place = 0; place < order.count; place += TOGETHER)
    clients.push(
      ...(await Promise.all(
        Array.from({ length: Math.min(TOGETHER, order.count - place) }, (_, index) => connected(order, place + index)),
      )),
    );
  const startMs = Date.now();
  let beat = 0;
  setInterval(() => {
    // A hundredth of the fleet every 10 ms.
    const tenths = 100_000 + Math.round((Date.now() - startMs) / 100);
    for (let place = beat % 100; place < order.count; place += 100) {
      const id = controllerAt(place);
      const second = Math.floor(beat / 100);
      clients[place]!.publish(topicOf(id, 'live'), JSON.stringify(liveMessage({ conditions: 0 }, tenths)));
      if ((second + place) % RECORD_SECONDS === 0) {
        const first = 1 + Math.floor(second / RECORD_SECONDS) * RECORD_SECONDS;
        const rows = Array.from({ length: RECORD_SECONDS }, (_, index) => recordRow({ first: first + index }));
        clients[place]!.publish(topicOf(id, 'outbox'), JSON.stringify(outbox(rows, [], tenths)), { qos: 1 });
      }
    }
    beat++;
  }, 10);
  process.on('message', (place: number) => {
    const tenths = 100_000 + Math.round((Date.now() - startMs) / 100);
    const event = eventRow({
      sequence: 1,
      kind: EventKind.conditionRaised,
      code: Condition.emergencyStop,
      uptime: tenths,
    });
    const text = JSON.stringify(outbox([], [event], tenths));
    process.send!({ place, atMs: Date.now() });
    clients[place]!.publish(topicOf(controllerAt(place), 'outbox'), text, { qos: 1 });
  });
  process.send!('ready');
}

if (process.argv[2] !== undefined && process.argv[1]?.endsWith('calling-fleet.js') === true)
  await run(JSON.parse(process.argv[2]) as FleetOrder);
