/*
 * What a rehearsed night is summed up as: the keys that `rehearse --json` prints, and the same as text.
 * Times are seconds of the bath's own clock since it was switched on.
 */

export interface NightSummary {
  readonly seed: number;
  readonly hours: number;
  readonly wallSeconds: number;
  readonly trueChargeAmpereHours: number;
  readonly accountedChargeAmpereHours: number;
  readonly largestCurrentAmps: number;
  readonly records: { readonly sent: number; readonly stored: number; readonly lost: number; readonly doubled: number };
  readonly faults: readonly { readonly name: string; readonly atSeconds: number }[];
  readonly alarms: readonly AlarmTimes[];
  readonly trips: readonly {
    readonly name: string;
    readonly atSeconds: number;
    readonly contactorOpenAtSeconds: number | null;
  }[];
  /** How the night stood at its end, in words. */
  readonly ended: string;
  readonly problems: readonly string[];
}

export interface AlarmTimes {
  readonly name: string;
  /** When the fault that explains it began, else when the alarm says that its cause began. */
  readonly causeAtSeconds: number;
  readonly raisedAtSeconds: number;
  /** When the receiver of the call had it; null: it was never called. */
  readonly notifiedAtSeconds: number | null;
}

/** Hours, minutes and seconds of the night: 03:10:07. */
export function nightTime(seconds: number): string {
  const whole = Math.round(seconds);
  return [whole / 3600, (whole / 60) % 60, whole % 60]
    .map((part) => String(Math.floor(part)).padStart(2, '0'))
    .join(':');
}

export function summaryText(summary: NightSummary): string {
  const { records } = summary;
  const error =
    summary.trueChargeAmpereHours === 0
      ? 0
      : (summary.accountedChargeAmpereHours / summary.trueChargeAmpereHours - 1) * 100;
  const lines = [
    `A night of ${String(summary.hours)} h, seed ${String(summary.seed)}, played in ${summary.wallSeconds.toFixed(1)} s. ${summary.ended}`,
    `Charge      ${summary.accountedChargeAmpereHours.toFixed(3)} Ah accounted, ${summary.trueChargeAmpereHours.toFixed(3)} Ah true (${error.toFixed(3)} %)`,
    `Current     ${summary.largestCurrentAmps.toFixed(2)} A at most`,
    `Records     ${String(records.sent)} sent, ${String(records.stored)} stored, ${String(records.lost)} lost, ${String(records.doubled)} doubled`,
  ];
  for (const fault of summary.faults) lines.push(`Fault       ${nightTime(fault.atSeconds)}  ${fault.name}`);
  for (const alarm of summary.alarms) {
    const called =
      alarm.notifiedAtSeconds === null
        ? 'nobody was called'
        : `called ${(alarm.notifiedAtSeconds - alarm.causeAtSeconds).toFixed(1)} s after its cause`;
    lines.push(`Alarm       ${nightTime(alarm.raisedAtSeconds)}  ${alarm.name}: ${called}`);
  }
  for (const trip of summary.trips) {
    const open =
      trip.contactorOpenAtSeconds === null
        ? 'the contactor was not seen to open'
        : `contactor open ${Math.max(0, trip.contactorOpenAtSeconds - trip.atSeconds).toFixed(2)} s later`;
    lines.push(`Trip        ${nightTime(trip.atSeconds)}  ${trip.name}: ${open}`);
  }
  for (const problem of summary.problems) lines.push(`Problem     ${problem}`);
  return lines.join('\n');
}
