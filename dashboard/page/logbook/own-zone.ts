/* The time zone of this device, by which the logbook's moments are written. */
export const ownZone = (): string => Intl.DateTimeFormat().resolvedOptions().timeZone;
