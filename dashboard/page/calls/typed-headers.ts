/* Headers of a webhook as a person types them, one a line. Called by the form of a channel; pure. Values may be secret: no message repeats one. */

export type HeadersReading =
  { readonly headers: readonly { readonly name: string; readonly value: string }[] } | { readonly problem: string };

/** A field name after RFC 9110, 5.6.2 (token). */
const TOKEN = /^[!#$%&'*+\-.^_`|~0-9A-Za-z]+$/;

/** Example: `typedHeaders('Authorization: Bearer abc')` is { headers: [{ name: 'Authorization', value: 'Bearer abc' }] }. */
export function typedHeaders(text: string): HeadersReading {
  const headers: { name: string; value: string }[] = [];
  for (const [place, line] of text.split(/\r?\n/).entries()) {
    if (line.trim() === '') continue;
    const colon = line.indexOf(':');
    const name = line.slice(0, Math.max(0, colon)).trim();
    const value = line.slice(colon + 1).trim();
    if (colon < 0 || !TOKEN.test(name) || value === '') {
      return {
        problem: `Header line ${String(place + 1)}: expected a name, a colon and a value, such as “X-Priority: high”.`,
      };
    }
    headers.push({ name, value });
  }
  return { headers };
}
