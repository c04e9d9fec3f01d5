/*
 * MQTT topics of the link between a controller and the dashboard, one place for both sides.
 * A controller may publish only its own outbox, live and status, and read only its own ack and command.
 */

/** Version of topics and payloads. A message of another version is counted and left. */
export const LINK_VERSION = 1;

export const TOPIC_ROOT = 'bathkeeper/1/';

/** `outbox` records and events, QoS 1 · `live` the present, QoS 0 · `status` retained, last will · `ack`, `command` to the controller, QoS 1. */
export type TopicKind = 'outbox' | 'live' | 'status' | 'ack' | 'command';

/** Example: `topicOf('north-bench', 'live')` is `bathkeeper/1/north-bench/live`; with '' it is what all of them begin with. */
export function topicOf(controllerId: string, kind: TopicKind | ''): string {
  return TOPIC_ROOT + controllerId + '/' + kind;
}
