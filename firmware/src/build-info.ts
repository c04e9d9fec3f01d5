/*
 * Which firmware this is. The build puts version and board in the place of the text; the console shows it at boot.
 * Never holds a date or a commit: the same sources give the same bundle, to the byte.
 */
export const FIRMWARE_VERSION = 'built from sources';
