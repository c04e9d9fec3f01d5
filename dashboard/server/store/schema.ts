/*
 * The store's tables and how an older file becomes a newer one. Called when the store opens; forward only.
 * Whole numbers stand in INTEGER columns; times are milliseconds since 1970 in the dashboard's clock.
 */
import type Database from 'better-sqlite3';

/** Each brings the file one version on. */
export const migrations: readonly string[] = [
  `
  CREATE TABLE settings (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
  CREATE TABLE controllers (
    controller_id TEXT PRIMARY KEY, bath_name TEXT NOT NULL, password_hash TEXT NOT NULL,
    is_simulated INTEGER NOT NULL, paired_at_ms INTEGER NOT NULL) STRICT;
  CREATE TABLE boots (
    controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL, boot INTEGER NOT NULL,
    epoch_at_boot_ms INTEGER NOT NULL, PRIMARY KEY (controller_id, incarnation, boot)) STRICT, WITHOUT ROWID;
  CREATE TABLE queues (
    controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL,
    records_through INTEGER NOT NULL, events_through INTEGER NOT NULL,
    records_doubled INTEGER NOT NULL DEFAULT 0, records_missing INTEGER NOT NULL DEFAULT 0,
    records_stored INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (controller_id, incarnation)) STRICT, WITHOUT ROWID;
  CREATE TABLE records (
    controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL, first INTEGER NOT NULL, span INTEGER NOT NULL,
    boot INTEGER NOT NULL, uptime_tenths INTEGER NOT NULL, taken_at_ms INTEGER NOT NULL, run INTEGER NOT NULL,
    phase INTEGER NOT NULL, conditions INTEGER NOT NULL, charge_millicoulombs INTEGER NOT NULL,
    permitted_sum INTEGER NOT NULL, electric_count INTEGER NOT NULL, current_sum INTEGER NOT NULL,
    current_min INTEGER NOT NULL, current_max INTEGER NOT NULL, voltage_sum INTEGER NOT NULL,
    temperature_count INTEGER NOT NULL, temperature_sum INTEGER NOT NULL, pulses INTEGER NOT NULL,
    PRIMARY KEY (controller_id, incarnation, first)) STRICT, WITHOUT ROWID;
  CREATE INDEX records_by_run ON records (controller_id, run, taken_at_ms);
  CREATE TABLE events (
    controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL, sequence INTEGER NOT NULL, boot INTEGER NOT NULL,
    uptime_tenths INTEGER NOT NULL, taken_at_ms INTEGER NOT NULL, run INTEGER NOT NULL,
    kind INTEGER NOT NULL, code INTEGER NOT NULL, a INTEGER NOT NULL, b INTEGER NOT NULL,
    PRIMARY KEY (controller_id, incarnation, sequence)) STRICT, WITHOUT ROWID;
  CREATE INDEX events_by_run ON events (controller_id, run, taken_at_ms);
  CREATE TABLE quarantine (
    id INTEGER PRIMARY KEY, controller_id TEXT NOT NULL, received_at_ms INTEGER NOT NULL,
    why TEXT NOT NULL, payload TEXT NOT NULL) STRICT;
  CREATE TABLE recipes (
    recipe_id INTEGER PRIMARY KEY, controller_id TEXT NOT NULL, made_at_ms INTEGER NOT NULL, view TEXT NOT NULL,
    row TEXT NOT NULL) STRICT;
  CREATE TABLE runs (
    controller_id TEXT NOT NULL, run INTEGER NOT NULL, incarnation INTEGER NOT NULL, recipe_id INTEGER NOT NULL,
    started_at_ms INTEGER NOT NULL, ended_at_ms INTEGER, ended_code INTEGER, charge_millicoulombs INTEGER NOT NULL DEFAULT 0,
    PRIMARY KEY (controller_id, incarnation, run)) STRICT, WITHOUT ROWID;
  CREATE TABLE commands (
    command_id INTEGER PRIMARY KEY, controller_id TEXT NOT NULL, kind TEXT NOT NULL, asked_at_ms INTEGER NOT NULL,
    state TEXT NOT NULL, words TEXT NOT NULL) STRICT;
  CREATE TABLE alarms (
    alarm_id INTEGER PRIMARY KEY, controller_id TEXT NOT NULL, name TEXT NOT NULL, priority TEXT NOT NULL,
    title TEXT NOT NULL, detail TEXT NOT NULL, check_first TEXT NOT NULL, cause_at_ms INTEGER NOT NULL,
    raised_at_ms INTEGER NOT NULL, acknowledged_at_ms INTEGER, acknowledged_by TEXT, returned_at_ms INTEGER) STRICT;
  CREATE INDEX alarms_by_controller ON alarms (controller_id, raised_at_ms);
  CREATE TABLE alarm_transitions (
    id INTEGER PRIMARY KEY, alarm_id INTEGER NOT NULL, at_ms INTEGER NOT NULL, state TEXT NOT NULL, who TEXT NOT NULL) STRICT;
  CREATE TABLE notifications (
    notification_id TEXT PRIMARY KEY, alarm_id INTEGER NOT NULL, body TEXT NOT NULL, queued_at_ms INTEGER NOT NULL,
    next_try_at_ms INTEGER NOT NULL, tries INTEGER NOT NULL DEFAULT 0, delivered_at_ms INTEGER, last_failure TEXT) STRICT;
  CREATE TABLE sessions (token_hash TEXT PRIMARY KEY, made_at_ms INTEGER NOT NULL) STRICT;
  `,
  // Conditions of codes 33 to 64. One call for each alarm: of doubles the one that was delivered stays, else the first.
  `
  ALTER TABLE records ADD COLUMN conditions_high INTEGER NOT NULL DEFAULT 0;
  DELETE FROM notifications WHERE notification_id NOT IN (
    SELECT notification_id FROM (
      SELECT notification_id, row_number() OVER (PARTITION BY alarm_id ORDER BY delivered_at_ms IS NULL, queued_at_ms) AS place
      FROM notifications)
    WHERE place = 1);
  CREATE UNIQUE INDEX notifications_by_alarm ON notifications (alarm_id);
  `,
  // The whole life of an alarm: what latches, what explains what, what is silent and why; the journal says what happened, by whom and why.
  // An alarm that an older version wrote does not latch. A silence belongs to a name, so that it holds before and after the alarm. What an
  // alarm was last told to be (`is_silent`), and when somebody was told of it (`announced_at_ms`), must outlive a restart.
  `
  ALTER TABLE alarms ADD COLUMN latches INTEGER NOT NULL DEFAULT 0;
  ALTER TABLE alarms ADD COLUMN reset_at_ms INTEGER;
  ALTER TABLE alarms ADD COLUMN is_first_out INTEGER NOT NULL DEFAULT 0;
  ALTER TABLE alarms ADD COLUMN caused_by_alarm_id INTEGER;
  ALTER TABLE alarms ADD COLUMN condition INTEGER;
  ALTER TABLE alarms ADD COLUMN is_silent INTEGER NOT NULL DEFAULT 0;
  ALTER TABLE alarms ADD COLUMN suppressed_because TEXT;
  ALTER TABLE alarms ADD COLUMN announced_at_ms INTEGER;
  ALTER TABLE alarms ADD COLUMN called_with_alarm_id INTEGER;
  ALTER TABLE alarms ADD COLUMN is_flood_call INTEGER NOT NULL DEFAULT 0;
  UPDATE alarms SET announced_at_ms = (SELECT queued_at_ms FROM notifications n WHERE n.alarm_id = alarms.alarm_id);
  CREATE INDEX alarms_standing ON alarms (controller_id, name)
    WHERE returned_at_ms IS NULL OR (latches = 1 AND reset_at_ms IS NULL);
  CREATE INDEX alarms_announced ON alarms (controller_id, announced_at_ms);
  CREATE TABLE alarm_silences (
    controller_id TEXT NOT NULL, name TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('shelved', 'out-of-service')),
    who TEXT NOT NULL, reason TEXT NOT NULL, since_ms INTEGER NOT NULL, until_ms INTEGER,
    CHECK ((kind = 'shelved') = (until_ms IS NOT NULL)),
    PRIMARY KEY (controller_id, name, kind)) STRICT, WITHOUT ROWID;
  CREATE TABLE alarm_transitions_with_reasons (
    id INTEGER PRIMARY KEY, at_ms INTEGER NOT NULL, controller_id TEXT NOT NULL, name TEXT NOT NULL,
    alarm_id INTEGER, what TEXT NOT NULL, state TEXT, who TEXT NOT NULL, reason TEXT,
    is_silent INTEGER NOT NULL DEFAULT 0) STRICT;
  INSERT INTO alarm_transitions_with_reasons
    SELECT t.id, t.at_ms, a.controller_id, a.name, t.alarm_id,
      CASE WHEN t.state = 'unacknowledged' THEN
          CASE WHEN t.id = (SELECT min(id) FROM alarm_transitions WHERE alarm_id = t.alarm_id) THEN 'raised' ELSE 'raised-again' END
        WHEN t.who = 'bath' THEN 'returned' ELSE 'acknowledged' END,
      t.state, t.who, NULL, 0
    FROM alarm_transitions t JOIN alarms a ON a.alarm_id = t.alarm_id;
  DROP TABLE alarm_transitions;
  ALTER TABLE alarm_transitions_with_reasons RENAME TO alarm_transitions;
  CREATE INDEX alarm_transitions_by_controller ON alarm_transitions (controller_id, at_ms);
  CREATE INDEX alarm_transitions_by_alarm ON alarm_transitions (alarm_id);
  CREATE TABLE drift_states (controller_id TEXT PRIMARY KEY, kept_at_ms INTEGER NOT NULL, state TEXT NOT NULL) STRICT;

  -- Calling. A contact has channels; where a channel leads is kept with the secrets. A call tells of alarms (notifications: which call, from which
  -- round on) or of something else; each round makes one delivery for each channel it rings. What an older version queued is still called.
  CREATE TABLE contacts (
    contact_id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL, place INTEGER NOT NULL, from_minute INTEGER, to_minute INTEGER,
    wants_good_news INTEGER NOT NULL, wants_morning_summary INTEGER NOT NULL, wants_low_priority INTEGER NOT NULL,
    CHECK ((from_minute IS NULL) = (to_minute IS NULL))) STRICT;
  CREATE TABLE channels (
    channel_id INTEGER PRIMARY KEY AUTOINCREMENT, contact_id INTEGER NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('web-push', 'e-mail', 'webhook')), shown_address TEXT NOT NULL, made_at_ms INTEGER NOT NULL,
    last_delivery_at_ms INTEGER, last_confirmed_at_ms INTEGER, last_failure TEXT, failing_since_ms INTEGER) STRICT;
  CREATE TABLE calls (
    call_number INTEGER PRIMARY KEY AUTOINCREMENT, call_id TEXT NOT NULL UNIQUE,
    kind TEXT NOT NULL CHECK (kind IN ('alarm', 'good-news', 'morning-summary', 'test')),
    controller_id TEXT NOT NULL, priority TEXT NOT NULL, title TEXT, message TEXT, contact_id INTEGER, channel_id INTEGER,
    queued_at_ms INTEGER NOT NULL, round INTEGER NOT NULL DEFAULT 0, started_at_ms INTEGER, last_round_at_ms INTEGER,
    reached_count INTEGER NOT NULL DEFAULT 0, ahead_count INTEGER NOT NULL DEFAULT 0, next_round_at_ms INTEGER, rounds_max INTEGER,
    confirmed_at_ms INTEGER, ended_at_ms INTEGER) STRICT;
  CREATE INDEX calls_due ON calls (next_round_at_ms) WHERE next_round_at_ms IS NOT NULL;
  CREATE TABLE deliveries (
    delivery_number INTEGER PRIMARY KEY AUTOINCREMENT, call_number INTEGER NOT NULL, contact_id INTEGER NOT NULL, channel_id INTEGER NOT NULL,
    round INTEGER NOT NULL, queued_at_ms INTEGER NOT NULL, next_try_at_ms INTEGER NOT NULL, tries INTEGER NOT NULL DEFAULT 0,
    delivered_at_ms INTEGER, given_up_at_ms INTEGER, used_at_ms INTEGER, last_failure TEXT,
    UNIQUE (call_number, channel_id, round)) STRICT;
  CREATE INDEX deliveries_waiting ON deliveries (channel_id, next_try_at_ms) WHERE delivered_at_ms IS NULL AND given_up_at_ms IS NULL;
  CREATE TABLE call_confirmations (
    confirmation_number INTEGER PRIMARY KEY, at_ms INTEGER NOT NULL, contact_id INTEGER NOT NULL, channel_id INTEGER NOT NULL,
    call_number INTEGER NOT NULL, kind TEXT NOT NULL) STRICT;
  CREATE INDEX call_confirmations_by_time ON call_confirmations (at_ms);
  INSERT INTO calls (call_number, call_id, kind, controller_id, priority, queued_at_ms, round, next_round_at_ms, ended_at_ms)
    SELECT n.rowid, n.notification_id, 'alarm', a.controller_id, a.priority, n.queued_at_ms, n.delivered_at_ms IS NOT NULL,
      CASE WHEN n.delivered_at_ms IS NULL AND a.acknowledged_at_ms IS NULL THEN n.queued_at_ms END,
      CASE WHEN n.delivered_at_ms IS NULL AND a.acknowledged_at_ms IS NULL THEN NULL ELSE coalesce(n.delivered_at_ms, a.acknowledged_at_ms) END
    FROM notifications n JOIN alarms a ON a.alarm_id = n.alarm_id;
  CREATE TABLE notifications_of_calls (
    alarm_id INTEGER PRIMARY KEY, call_number INTEGER NOT NULL, joined_round INTEGER NOT NULL, is_silenced INTEGER NOT NULL DEFAULT 0,
    tries INTEGER NOT NULL DEFAULT 0, delivered_at_ms INTEGER) STRICT;
  INSERT INTO notifications_of_calls (alarm_id, call_number, joined_round, tries, delivered_at_ms)
    SELECT n.alarm_id, n.rowid, 1, n.tries, n.delivered_at_ms FROM notifications n JOIN alarms a ON a.alarm_id = n.alarm_id;
  DROP TABLE notifications;
  ALTER TABLE notifications_of_calls RENAME TO notifications;
  CREATE INDEX notifications_by_call ON notifications (call_number);
  `,
  // Whom a call has rung is told by its deliveries: a count of places says nothing once people come and go.
  `
  ALTER TABLE calls DROP COLUMN reached_count;
  ALTER TABLE calls DROP COLUMN ahead_count;
  `,
  // An alarm that went over to another call, as the call before had told of it: the link of that call still acknowledges what it told.
  `
  CREATE TABLE told_before (
    call_number INTEGER NOT NULL, alarm_id INTEGER NOT NULL, joined_round INTEGER NOT NULL,
    PRIMARY KEY (call_number, alarm_id)) STRICT, WITHOUT ROWID;
  `,
  // Plans that somebody keeps; what is deleted can be brought back for a while.
  `
  CREATE TABLE plans (
    plan_id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL, changed_at_ms INTEGER NOT NULL, deleted_at_ms INTEGER,
    request TEXT NOT NULL CHECK (json_valid(request))) STRICT;
  `,
  // Ledgers of baths. Rows are only added: a row that undoes another names it, and the store itself refuses everything else.
  `
  CREATE TABLE ledger_baths (
    bath_id INTEGER PRIMARY KEY AUTOINCREMENT, name TEXT NOT NULL UNIQUE, profile TEXT NOT NULL, is_simulated INTEGER NOT NULL,
    written_at_ms INTEGER NOT NULL, who TEXT NOT NULL CHECK (who <> '')) STRICT;
  CREATE TABLE ledger_entries (
    entry_id INTEGER PRIMARY KEY AUTOINCREMENT, bath_id INTEGER NOT NULL, at_ms INTEGER NOT NULL, written_at_ms INTEGER NOT NULL,
    who TEXT NOT NULL CHECK (who <> ''), note TEXT NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL CHECK (json_valid(body)),
    undoes_entry_id INTEGER UNIQUE, CHECK ((kind = 'undone') = (undoes_entry_id IS NOT NULL)), CHECK (kind <> 'undone' OR note <> '')) STRICT;
  CREATE INDEX ledger_entries_by_bath ON ledger_entries (bath_id, at_ms);
  CREATE TRIGGER ledger_baths_stay BEFORE UPDATE ON ledger_baths BEGIN SELECT RAISE(ABORT, 'a bath of the ledger is never changed'); END;
  CREATE TRIGGER ledger_baths_remain BEFORE DELETE ON ledger_baths BEGIN SELECT RAISE(ABORT, 'a bath of the ledger is never deleted'); END;
  CREATE TRIGGER ledger_entries_stay BEFORE UPDATE ON ledger_entries BEGIN SELECT RAISE(ABORT, 'an entry of the ledger is never changed'); END;
  CREATE TRIGGER ledger_entries_remain BEFORE DELETE ON ledger_entries BEGIN SELECT RAISE(ABORT, 'an entry of the ledger is never deleted'); END;
  `,
  // Records in order of time for each controller, a memory of it (an incarnation) by a number of one byte: half the room, and no index beside them.
  // Who asks by name asks the view `records`. `memories` keeps of the newest record what must be known when the record itself is gone by its age.
  // A minute and ten minutes of a run are whole sums, the least and the most; `charge_added` is what the controller's count rose by since the
  // record before (from nothing where the run is new). They are written with the records, see logged-records.ts.
  `
  CREATE TABLE memories (
    memory INTEGER PRIMARY KEY, controller INTEGER NOT NULL, controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL,
    newest_at_ms INTEGER NOT NULL, newest_phase INTEGER NOT NULL, newest_run INTEGER NOT NULL, newest_charge INTEGER NOT NULL,
    UNIQUE (controller_id, incarnation)) STRICT;
  INSERT INTO memories
    SELECT row_number() OVER (ORDER BY r.taken_at_ms), 0, q.controller_id, q.incarnation, r.taken_at_ms, r.phase, r.run, r.charge_millicoulombs
    FROM (SELECT DISTINCT controller_id, incarnation FROM records) q JOIN records r ON r.controller_id = q.controller_id
      AND r.incarnation = q.incarnation AND r.first = (SELECT max(first) FROM records WHERE controller_id = q.controller_id AND incarnation = q.incarnation);
  UPDATE memories SET controller = (SELECT min(memory) FROM memories other WHERE other.controller_id = memories.controller_id);
  CREATE TABLE raw_records (
    controller INTEGER NOT NULL, taken_at_ms INTEGER NOT NULL, memory INTEGER NOT NULL, first INTEGER NOT NULL, span INTEGER NOT NULL,
    boot INTEGER NOT NULL, uptime_tenths INTEGER NOT NULL, run INTEGER NOT NULL, phase INTEGER NOT NULL, conditions INTEGER NOT NULL,
    charge_millicoulombs INTEGER NOT NULL, permitted_sum INTEGER NOT NULL, electric_count INTEGER NOT NULL, current_sum INTEGER NOT NULL,
    current_min INTEGER NOT NULL, current_max INTEGER NOT NULL, voltage_sum INTEGER NOT NULL, temperature_count INTEGER NOT NULL,
    temperature_sum INTEGER NOT NULL, pulses INTEGER NOT NULL, conditions_high INTEGER NOT NULL,
    PRIMARY KEY (controller, taken_at_ms, memory, first)) STRICT, WITHOUT ROWID;
  INSERT INTO raw_records
    SELECT m.controller, taken_at_ms, m.memory, first, span, boot, uptime_tenths, run, phase, conditions, charge_millicoulombs, permitted_sum,
      electric_count, current_sum, current_min, current_max, voltage_sum, temperature_count, temperature_sum, pulses, conditions_high
    FROM memories m JOIN records r ON r.controller_id = m.controller_id AND r.incarnation = m.incarnation;
  CREATE TABLE minutes (
    controller INTEGER NOT NULL, minute INTEGER NOT NULL, memory INTEGER NOT NULL, run INTEGER NOT NULL, seconds INTEGER NOT NULL,
    phase INTEGER NOT NULL, charge_millicoulombs INTEGER NOT NULL, charge_added INTEGER NOT NULL, permitted_sum INTEGER NOT NULL,
    electric_count INTEGER NOT NULL, current_sum INTEGER NOT NULL, current_min INTEGER, current_max INTEGER, voltage_sum INTEGER NOT NULL,
    temperature_count INTEGER NOT NULL, temperature_sum INTEGER NOT NULL, pulses INTEGER NOT NULL,
    PRIMARY KEY (controller, minute, memory, run)) STRICT, WITHOUT ROWID;
  CREATE TABLE ten_minutes (
    controller INTEGER NOT NULL, ten_minute INTEGER NOT NULL, memory INTEGER NOT NULL, run INTEGER NOT NULL, seconds INTEGER NOT NULL,
    phase INTEGER NOT NULL, charge_millicoulombs INTEGER NOT NULL, charge_added INTEGER NOT NULL, permitted_sum INTEGER NOT NULL,
    electric_count INTEGER NOT NULL, current_sum INTEGER NOT NULL, current_min INTEGER, current_max INTEGER, voltage_sum INTEGER NOT NULL,
    temperature_count INTEGER NOT NULL, temperature_sum INTEGER NOT NULL, pulses INTEGER NOT NULL,
    PRIMARY KEY (controller, ten_minute, memory, run)) STRICT, WITHOUT ROWID;
  INSERT INTO minutes
    SELECT controller, (taken_at_ms - (span - 1) * 1000) / 60000, memory, run, sum(span), max(first * 16 + phase) % 16,
      max(charge_millicoulombs), sum(added), sum(permitted_sum), sum(electric_count), sum(current_sum),
      min(CASE WHEN electric_count > 0 THEN current_min END), max(CASE WHEN electric_count > 0 THEN current_max END),
      sum(voltage_sum), sum(temperature_count), sum(temperature_sum), sum(pulses)
    FROM (SELECT m.controller, m.memory, r.*, charge_millicoulombs - CASE WHEN lag(run) OVER counted = run
        THEN lag(charge_millicoulombs) OVER counted ELSE 0 END AS added
      FROM memories m JOIN records r ON r.controller_id = m.controller_id AND r.incarnation = m.incarnation
      WINDOW counted AS (PARTITION BY m.memory ORDER BY first))
    GROUP BY 1, 2, 3, 4;
  INSERT INTO ten_minutes
    SELECT controller, minute / 10, memory, run, sum(seconds), max(minute * 16 + phase) % 16, max(charge_millicoulombs), sum(charge_added),
      sum(permitted_sum), sum(electric_count), sum(current_sum), min(current_min), max(current_max), sum(voltage_sum),
      sum(temperature_count), sum(temperature_sum), sum(pulses)
    FROM minutes GROUP BY 1, 2, 3, 4;
  DROP TABLE records;
  CREATE VIEW records AS
    SELECT m.controller_id, m.incarnation, r.first, r.span, r.boot, r.uptime_tenths, r.taken_at_ms, r.run, r.phase, r.conditions,
      r.charge_millicoulombs, r.permitted_sum, r.electric_count, r.current_sum, r.current_min, r.current_max, r.voltage_sum,
      r.temperature_count, r.temperature_sum, r.pulses, r.conditions_high
    FROM memories m JOIN raw_records r ON r.controller = m.controller AND r.memory = m.memory;
  CREATE TABLE raw_ends (controller INTEGER PRIMARY KEY, gone_before_ms INTEGER NOT NULL) STRICT;
  `,
  // Runs that came from a file: under which name they stand among runs, records and events, who brought them, and what they were called where they were made.
  `
  CREATE TABLE imported_runs (
    import_number INTEGER PRIMARY KEY, controller_id TEXT NOT NULL UNIQUE, incarnation INTEGER NOT NULL, run INTEGER NOT NULL,
    imported_at_ms INTEGER NOT NULL, imported_by TEXT NOT NULL, file_name TEXT NOT NULL, header TEXT NOT NULL CHECK (json_valid(header))) STRICT;
  `,
  // The logbook: the plan that a recipe came from, and the sums over a run's records, which outlive the records.
  `
  CREATE TABLE recipe_plans (
    recipe_id INTEGER PRIMARY KEY, request TEXT NOT NULL CHECK (json_valid(request))) STRICT;
  CREATE TABLE run_measures (
    controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL, run INTEGER NOT NULL, measured_at_ms INTEGER NOT NULL,
    recorded_seconds INTEGER NOT NULL, measures TEXT NOT NULL CHECK (json_valid(measures)),
    PRIMARY KEY (controller_id, incarnation, run)) STRICT, WITHOUT ROWID;
  CREATE INDEX runs_by_start ON runs (started_at_ms);
  `,
  // What people write into the record of a run. Rows are only added; one is undone by a row with a reason. They go with their run alone, when the time
  // has passed in which somebody may bring a deleted run back. `begun_imports`: what was left half-way is cleared under its name.
  `
  CREATE TABLE deleted_runs (
    controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL, run INTEGER NOT NULL, deleted_at_ms INTEGER NOT NULL,
    who TEXT NOT NULL CHECK (who <> ''), is_gone INTEGER NOT NULL DEFAULT 0, PRIMARY KEY (controller_id, incarnation, run)) STRICT, WITHOUT ROWID;
  CREATE TABLE run_entries (
    entry_id INTEGER PRIMARY KEY AUTOINCREMENT, controller_id TEXT NOT NULL, incarnation INTEGER NOT NULL, run INTEGER NOT NULL,
    at_ms INTEGER NOT NULL, written_at_ms INTEGER NOT NULL, who TEXT NOT NULL CHECK (who <> ''), note TEXT NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body))) STRICT;
  CREATE INDEX run_entries_by_run ON run_entries (controller_id, incarnation, run, at_ms);
  CREATE TABLE run_entries_undone (
    entry_id INTEGER PRIMARY KEY, at_ms INTEGER NOT NULL, who TEXT NOT NULL CHECK (who <> ''), reason TEXT NOT NULL CHECK (reason <> '')) STRICT;
  CREATE TABLE photographs (entry_id INTEGER PRIMARY KEY, type TEXT NOT NULL, bytes BLOB NOT NULL) STRICT;
  CREATE TRIGGER run_entries_stay BEFORE UPDATE ON run_entries BEGIN SELECT RAISE(ABORT, 'what was written of a run is never changed'); END;
  CREATE TRIGGER run_entries_remain BEFORE DELETE ON run_entries WHEN NOT EXISTS (SELECT 1 FROM deleted_runs d
    WHERE d.controller_id = old.controller_id AND d.incarnation = old.incarnation AND d.run = old.run AND d.is_gone = 1)
    BEGIN SELECT RAISE(ABORT, 'what was written of a run goes only with it'); END;
  CREATE TRIGGER run_entries_undone_stay BEFORE UPDATE ON run_entries_undone BEGIN SELECT RAISE(ABORT, 'a reason is never changed'); END;
  CREATE TRIGGER photographs_stay BEFORE UPDATE ON photographs BEGIN SELECT RAISE(ABORT, 'a photograph is never changed'); END;
  CREATE TABLE begun_imports (import_number INTEGER PRIMARY KEY, controller_id TEXT NOT NULL, begun_at_ms INTEGER NOT NULL) STRICT;
  `,
  // The stock of chemicals. As in a ledger rows are only added, and one is undone by a row with a reason.
  `
  CREATE TABLE stock_entries (
    entry_id INTEGER PRIMARY KEY AUTOINCREMENT, at_ms INTEGER NOT NULL, written_at_ms INTEGER NOT NULL,
    who TEXT NOT NULL CHECK (who <> ''), note TEXT NOT NULL, kind TEXT NOT NULL, body TEXT NOT NULL CHECK (json_valid(body)),
    undoes_entry_id INTEGER UNIQUE, CHECK ((kind = 'undone') = (undoes_entry_id IS NOT NULL)), CHECK (kind <> 'undone' OR note <> '')) STRICT;
  CREATE TRIGGER stock_entries_stay BEFORE UPDATE ON stock_entries BEGIN SELECT RAISE(ABORT, 'an entry of the stock is never changed'); END;
  CREATE TRIGGER stock_entries_remain BEFORE DELETE ON stock_entries BEGIN SELECT RAISE(ABORT, 'an entry of the stock is never deleted'); END;
  `,
  // The least and the most of voltage (millivolts), resistance (microohms) and temperature (hundredths of a degree) of a record's means. Sums whose
  // records went by their age have none. The least is rounded down, the most up (see record-extremes.ts; SQL divides towards zero).
  `
  ALTER TABLE minutes ADD COLUMN voltage_min INTEGER;
  ALTER TABLE minutes ADD COLUMN voltage_max INTEGER;
  ALTER TABLE minutes ADD COLUMN resistance_min INTEGER;
  ALTER TABLE minutes ADD COLUMN resistance_max INTEGER;
  ALTER TABLE minutes ADD COLUMN temperature_min INTEGER;
  ALTER TABLE minutes ADD COLUMN temperature_max INTEGER;
  ALTER TABLE ten_minutes ADD COLUMN voltage_min INTEGER;
  ALTER TABLE ten_minutes ADD COLUMN voltage_max INTEGER;
  ALTER TABLE ten_minutes ADD COLUMN resistance_min INTEGER;
  ALTER TABLE ten_minutes ADD COLUMN resistance_max INTEGER;
  ALTER TABLE ten_minutes ADD COLUMN temperature_min INTEGER;
  ALTER TABLE ten_minutes ADD COLUMN temperature_max INTEGER;
  UPDATE minutes SET voltage_min = s.v0, voltage_max = s.v1, resistance_min = s.r0, resistance_max = s.r1, temperature_min = s.t0, temperature_max = s.t1
    FROM (SELECT controller, minute, memory, run, min(v0) AS v0, max(v1) AS v1, min(r0) AS r0, max(r1) AS r1, min(t0) AS t0, max(t1) AS t1
      FROM (SELECT controller, (taken_at_ms - (span - 1) * 1000) / 60000 AS minute, memory, run,
          CASE WHEN e > 0 THEN (v - ((v % e) + e) % e) / e END AS v0,
          CASE WHEN e > 0 THEN (v + ((-v % e) + e) % e) / e END AS v1,
          CASE WHEN e > 0 AND c >= 20 * e THEN (v * 100000 - ((v * 100000 % c) + c) % c) / c END AS r0,
          CASE WHEN e > 0 AND c >= 20 * e THEN (v * 100000 + ((-v * 100000 % c) + c) % c) / c END AS r1,
          CASE WHEN n > 0 THEN (t - ((t % n) + n) % n) / n END AS t0,
          CASE WHEN n > 0 THEN (t + ((-t % n) + n) % n) / n END AS t1
        FROM (SELECT controller, taken_at_ms, span, memory, run, electric_count AS e, current_sum AS c, voltage_sum AS v, temperature_count AS n,
          temperature_sum AS t FROM raw_records))
      GROUP BY 1, 2, 3, 4) s
    WHERE minutes.controller = s.controller AND minutes.minute = s.minute AND minutes.memory = s.memory AND minutes.run = s.run
      AND NOT EXISTS (SELECT 1 FROM raw_ends g WHERE g.controller = minutes.controller AND minutes.minute * 60000 < g.gone_before_ms);
  UPDATE ten_minutes SET voltage_min = s.v0, voltage_max = s.v1, resistance_min = s.r0, resistance_max = s.r1, temperature_min = s.t0, temperature_max = s.t1
    FROM (SELECT controller, minute / 10 AS ten_minute, memory, run, min(voltage_min) AS v0, max(voltage_max) AS v1, min(resistance_min) AS r0,
        max(resistance_max) AS r1, min(temperature_min) AS t0, max(temperature_max) AS t1 FROM minutes GROUP BY 1, 2, 3, 4
        HAVING total(electric_count > 0 AND voltage_min IS NULL) + total(temperature_count > 0 AND temperature_min IS NULL) = 0) s
    WHERE ten_minutes.controller = s.controller AND ten_minutes.ten_minute = s.ten_minute AND ten_minutes.memory = s.memory AND ten_minutes.run = s.run;
  `,
  // Alarms of runs that came from a file, apart from the alarms of this store, so that nothing that calls can meet them. `body`: the alarm and its journal.
  `
  CREATE TABLE imported_alarms (
    imported_alarm INTEGER PRIMARY KEY, controller_id TEXT NOT NULL, alarm_number INTEGER NOT NULL, raised_at_ms INTEGER NOT NULL,
    body TEXT NOT NULL CHECK (json_valid(body))) STRICT;
  CREATE INDEX imported_alarms_by_run ON imported_alarms (controller_id, alarm_number);
  `,
];

/** Brings the file to the newest schema, and says so before where there is something in it. Refuses a file that a newer Bathkeeper wrote. */
export function migrate(
  database: Database.Database,
  begins: (fromSchema: number, toSchema: number) => void = () => undefined,
): void {
  const version = database.pragma('user_version', { simple: true }) as number;
  if (version > migrations.length) {
    throw new Error(
      `The data file has schema ${String(version)}, this Bathkeeper knows up to ${String(migrations.length)}. ` +
        'It was written by a newer version: start that one, or point BATHKEEPER_DATA at another folder.',
    );
  }
  if (version > 0 && version < migrations.length) begins(version, migrations.length);
  for (let next = version; next < migrations.length; next++) {
    database.transaction(() => {
      database.exec(migrations[next]!);
      database.pragma(`user_version = ${String(next + 1)}`);
    })();
  }
}
