/*
 * The owner's own body for a webhook: {{title}} and the other names of CallPayload, each escaped for the content type, so that no
 * alarm's words can break out of it. Checked when it is saved, filled in for each call. Pure.
 */
import type { CallPayload } from '@bathkeeper/shared-core/messages';

export const PLACEHOLDERS = ['id', 'call', 'kind', 'title', 'message', 'priority', 'alarm', 'controller', 'raisedAt', 'contact', 'url', 'acknowledgeUrl'] as const satisfies readonly (keyof CallPayload)[]; // prettier-ignore
type Placeholder = (typeof PLACEHOLDERS)[number];

const HOLES = /\{\{\s*([^{}]*?)\s*\}\}/g;

const escapes = {
  json: (text: string) => JSON.stringify(text).slice(1, -1),
  form: (text: string) => encodeURIComponent(text),
  // Control characters could end a line of a protocol that takes plain lines; a line break is what a message may hold.
  plain: (text: string) => text.replace(/[\u0000-\u0009\u000b-\u001f\u007f]/g, ' '),
} as const;

function escapeFor(contentType: string): ((text: string) => string) | undefined {
  const type = contentType.split(';')[0]!.trim().toLowerCase();
  if (/^application\/(.+\+)?json$/.test(type)) return escapes.json;
  if (type === 'application/x-www-form-urlencoded') return escapes.form;
  if (type === 'text/plain') return escapes.plain;
  return undefined;
}

/** Example: `{"text":"{{title}}"}` as application/json with a title that holds a quote stays valid JSON. */
export function filledTemplate(template: string, contentType: string, payload: CallPayload): string {
  const escape = escapeFor(contentType) ?? escapes.json;
  return template.replace(HOLES, (_hole, name: string) => escape(payload[name as Placeholder] ?? ''));
}

const SAMPLE: CallPayload = {
  id: '1',
  call: '1',
  kind: 'test',
  title: 'A "title" of \\ signs',
  message: 'Two\nlines',
  priority: 'high',
  alarm: 'test',
  controller: 'north-bench',
  raisedAt: '2026-01-10T20:00:00.000Z',
  contact: 'Owner',
  url: 'http://192.0.2.1:4180/',
  acknowledgeUrl: 'http://192.0.2.1:4180/acknowledge/token',
};

/** Everything that is wrong with a template, each a whole sentence. Empty: it can be used. */
export function templateProblems(template: string, contentType: string): string[] {
  const problems: string[] = [];
  if (escapeFor(contentType) === undefined)
    problems.push(
      `contentType: expected application/json, application/x-www-form-urlencoded or text/plain, got "${contentType}".`,
    );
  for (const [, name] of template.matchAll(HOLES))
    if (!(PLACEHOLDERS as readonly string[]).includes(name!))
      problems.push(`template: there is no {{${name!}}}. There are: ${PLACEHOLDERS.join(', ')}.`);
  if (problems.length === 0 && template !== '' && escapeFor(contentType) === escapes.json) {
    try {
      JSON.parse(filledTemplate(template, contentType, SAMPLE));
    } catch (fault) {
      problems.push(
        `template: with the names filled in it is no JSON (${(fault as Error).message}). Put each {{name}} between quotation marks.`,
      );
    }
  }
  return problems;
}
