/* Words that a line of the page must not break: "e-mail" is written with the hyphen that does not break (U+2011) wherever a person reads it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';

const ROOMS = ['dashboard/page', 'dashboard/server/http', 'dashboard/server/https'];

test('no line of the page breaks within the word for mail', () => {
  const faults = ROOMS.flatMap((room) =>
    readdirSync(room, { recursive: true, encoding: 'utf8' })
      .filter((name) => /\.tsx?$/.test(name))
      .flatMap((name) =>
        readFileSync(join(room, name), 'utf8')
          // Comments, and the name of the channel in requests and answers, are not read on the page.
          .replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '')
          .replaceAll("'e-mail'", '')
          .split('\n')
          .filter((line) => /\be-mail/i.test(line))
          .map((line) => `${name}: ${line.trim()}`),
      ),
  );
  expect(faults).toEqual([]);
});
