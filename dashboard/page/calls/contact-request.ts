/*
 * From the form of a contact, and from a contact that is known, to the request that the dashboard takes. Called by the room of calls; pure.
 */
import type { ContactRequest, ContactView } from '@bathkeeper/shared-core/messages';
import { minuteAsTime, minuteOfDay } from '../words/call-words.js';

export interface ContactTyped {
  readonly name: string;
  readonly isAtAnyHour: boolean;
  /** "22:00" */
  readonly from: string;
  readonly to: string;
  readonly wantsGoodNews: boolean;
  readonly wantsMorningSummary: boolean;
  readonly wantsLowPriority: boolean;
}

export const emptyContact: ContactTyped = {
  name: '',
  isAtAnyHour: true,
  from: '22:00',
  to: '08:00',
  wantsGoodNews: false,
  wantsMorningSummary: false,
  wantsLowPriority: false,
};

export function contactTyped(contact: ContactView): ContactTyped {
  const { fromMinute, toMinute } = contact;
  const isAtAnyHour = fromMinute === null || toMinute === null;
  return {
    name: contact.name,
    isAtAnyHour,
    from: isAtAnyHour ? emptyContact.from : minuteAsTime(fromMinute),
    to: isAtAnyHour ? emptyContact.to : minuteAsTime(toMinute),
    wantsGoodNews: contact.wantsGoodNews,
    wantsMorningSummary: contact.wantsMorningSummary,
    wantsLowPriority: contact.wantsLowPriority,
  };
}

/** A contact as it is, as a request: for changing one thing of it. */
export function contactRequestOf(contact: ContactView): ContactRequest {
  const { name, place, fromMinute, toMinute, wantsGoodNews, wantsMorningSummary, wantsLowPriority } = contact;
  return { name, place, fromMinute, toMinute, wantsGoodNews, wantsMorningSummary, wantsLowPriority };
}

export type ContactReading =
  { readonly request: ContactRequest } | { readonly problems: Readonly<Partial<Record<'name' | 'hours', string>>> };

/** Every fault at once. Example: no name, and from 22:00 to 22:00, gives two. */
export function contactRequest(typed: ContactTyped, place: number): ContactReading {
  const problems: Partial<Record<'name' | 'hours', string>> = {};
  const name = typed.name.trim();
  if (name === '') problems.name = 'Give a name, so that the journal can tell who acknowledged.';
  const from = typed.isAtAnyHour ? null : (minuteOfDay(typed.from) ?? undefined);
  const to = typed.isAtAnyHour ? null : (minuteOfDay(typed.to) ?? undefined);
  if (from === undefined || to === undefined) {
    problems.hours = `Give two times of the day, such as 22:00 and 08:00; got “${typed.from}” and “${typed.to}”.`;
  } else if (from !== null && from === to) {
    problems.hours = 'From and to are the same time: choose “at any hour”, or two different times.';
  }
  if (Object.keys(problems).length > 0 || from === undefined || to === undefined) return { problems };
  return {
    request: {
      name,
      place,
      fromMinute: from,
      toMinute: to,
      wantsGoodNews: typed.wantsGoodNews,
      wantsMorningSummary: typed.wantsMorningSummary,
      wantsLowPriority: typed.wantsLowPriority,
    },
  };
}
