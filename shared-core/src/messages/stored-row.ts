/*
 * Records and events as a controller keeps and sends them: the bytes of its memory in base64 (RFC 4648), words of four bytes, lowest byte first, and a
 * check sum at the end, so that it packs nothing and unpacks nothing. Taken apart here, for the dashboard's ingest and the stand-ins. The columns
 * are those of RecordColumn and EventColumn, but for two: a record has the upper part of its charge as a last word, an event a span as its second.
 */
import { EVENT_COLUMNS, EventColumn, RECORD_COLUMNS, RecordColumn } from './wire.js';

export const STORED_RECORD_COLUMNS = RECORD_COLUMNS + 1;
export const STORED_EVENT_COLUMNS = EVENT_COLUMNS + 1;

const CHARGE_UPPER_COLUMN = RECORD_COLUMNS;
/** What one of the charge's upper word counts, millicoulombs. */
const CHARGE_UPPER = 4294967296;
const WORD_BYTES = 4;
const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/';
/** CRC-32 of anything followed by its own CRC-32, lowest byte first (a property of the polynomial; CRC catalogue, from memory). */
const RIGHT_SUM = 0x2144df1c;

/** CRC-32 as in ISO 3309 and IEEE 802.3. Example: of the bytes of "123456789" it is 0xcbf43926. */
function crc32(bytes: Uint8Array): number {
  let crc = -1;
  for (const byte of bytes) {
    crc ^= byte;
    for (let bit = 0; bit < 8; bit++) crc = (crc >>> 1) ^ (crc & 1 ? 0xedb88320 : 0);
  }
  return ~crc >>> 0;
}

/** The bytes of a base64 text with its padding; undefined of anything else. */
function bytesOf(text: string): Uint8Array | undefined {
  if (text.length % 4 !== 0) return undefined;
  let digits = text.length;
  while (digits > text.length - 2 && text[digits - 1] === '=') digits--;
  const bytes = new Uint8Array(Math.floor((digits * 3) / 4));
  let bits = 0;
  for (let i = 0; i < digits; i++) {
    const digit = DIGITS.indexOf(text[i]!);
    if (digit < 0) return undefined;
    bits = ((bits << 6) | digit) & 0xffffff;
    // Every digit but the first of four completes a byte.
    if (i % 4) bytes[Math.floor(i / 4) * 3 + (i % 4) - 1] = bits >> (6 - (i % 4) * 2);
  }
  return bytes;
}

/** The words of a stored row, or undefined when it is not one of so many columns with the right check sum. */
function wordsOf(text: string, columns: number): number[] | undefined {
  const bytes = bytesOf(text);
  if (!bytes || bytes.length !== (columns + 1) * WORD_BYTES || crc32(bytes) !== RIGHT_SUM) return undefined;
  const view = new DataView(bytes.buffer as ArrayBuffer);
  const words: number[] = [];
  for (let column = 0; column < columns; column++) words.push(view.getInt32(column * WORD_BYTES, true));
  return words;
}

/** A record in the columns of RecordColumn, or undefined when the text is not one that a controller kept. */
export function recordOfStored(text: string): number[] | undefined {
  const words = wordsOf(text, STORED_RECORD_COLUMNS);
  if (words === undefined) return undefined;
  const record = words.slice(0, RECORD_COLUMNS);
  record[RecordColumn.charge] = words[CHARGE_UPPER_COLUMN]! * CHARGE_UPPER + (words[RecordColumn.charge]! >>> 0);
  for (const column of [RecordColumn.conditions, RecordColumn.conditionsHigh]) record[column] = words[column]! >>> 0;
  // The controller's own mark for "no reading yet" means nothing here.
  if (!record[RecordColumn.electricCount]) record[RecordColumn.currentMin] = record[RecordColumn.currentMax] = 0;
  return record;
}

/** An event in the columns of EventColumn, or undefined when the text is not one that a controller kept. */
export function eventOfStored(text: string): number[] | undefined {
  const words = wordsOf(text, STORED_EVENT_COLUMNS);
  // The span, 1 of every event, stands behind the sequence.
  if (words) words.splice(EventColumn.sequence + 1, 1);
  return words;
}
