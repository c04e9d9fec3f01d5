/* The walls between the rooms hold, and the check that says so notices each kind of hole. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, test } from 'vitest';
import { rooms } from './rooms.js';
import { brokenWalls, declaredPackagesAt, importsOf, roomOf } from './walls.js';

const root = fileURLToPath(new URL('../../', import.meta.url));
const declared = declaredPackagesAt(root);

function sourceFiles(folder: string): string[] {
  return readdirSync(join(root, folder), { withFileTypes: true, recursive: true })
    .filter((entry) => entry.isFile() && /\.(ts|tsx|mts|mjs|js)$/.test(entry.name))
    .map((entry) => relative(root, join(entry.parentPath, entry.name)).split(sep).join('/'))
    .filter((file) => !/(^|\/)(dist|node_modules)\//.test(file));
}

const files = [...new Set(rooms.map((room) => room.folder.split('/').slice(0, 2).join('/')))].flatMap(sourceFiles);

describe('the walls of this repository', () => {
  test.each(rooms.map((room) => room.folder))('%s is there, and its files import only what they may', (folder) => {
    const inside = files.filter((file) => roomOf(file)?.folder === folder);
    expect(inside.length, `source files in ${folder}`).toBeGreaterThan(0);
    expect(inside.flatMap((file) => brokenWalls(file, readFileSync(join(root, file), 'utf8'), declared))).toEqual([]);
  });
});

describe('the sources', () => {
  test('have no compiled file beside them, which would be run in their place', () => {
    const compiled = files.filter((file) => {
      const stem = /^(.+?)(\.d)?\.(m?js|ts)$/.exec(file);
      const isTypeScript = stem?.[3] === 'ts' && stem[2] === undefined;
      return stem !== null && !isTypeScript && files.some((other) => other === `${String(stem[1])}.ts`);
    });
    expect(compiled).toEqual([]);
  });
});

describe('the check of the walls', () => {
  test.each([
    ['a core that reads files', 'shared-core/src/trade/plan.ts', "import { readFileSync } from 'node:fs';"],
    ['a core that reads files by the old name', 'shared-core/src/trade/plan.ts', "import fs from 'fs';"],
    ['a core with a package', 'shared-core/src/watch/drift.ts', "import { z } from 'zod';"],
    ['control that takes from trade', 'shared-core/src/control/step.ts', "import { metals } from '../trade/index.js';"],
    ['messages that take from watch', 'shared-core/src/messages/wire.ts', "export * from '../watch/index.js';"],
    ['a core that takes from the firmware', 'shared-core/src/control/a.ts', "import '../../../firmware/src/main.js';"],
    ['firmware that takes from trade', 'firmware/src/main.ts', "import '@bathkeeper/shared-core/trade';"],
    ['firmware past the exports', 'firmware/src/main.ts', "import '../../shared-core/src/control/step.js';"],
    ['firmware with the virtual bath', 'firmware/src/main.ts', "import { tank } from '../bench/tank/tank.js';"],
    ['firmware with a Node module', 'firmware/src/main.ts', "import net from 'node:net';"],
    ['firmware with an unknown module', 'firmware/src/main.ts', "const http = require('http');"],
    ['a bench that knows the firmware', 'firmware/bench/index.ts', "import type { Ports } from '../src/ports.js';"],
    ['a bench that knows the dashboard', 'firmware/bench/main.ts', "import '@bathkeeper/dashboard';"],
    ['a server that knows the firmware', 'dashboard/server/main.ts', "import '../../firmware/bench/index.js';"],
    ['a server with the virtual bath', 'dashboard/server/main.ts', "import '@bathkeeper/firmware/bench';"],
    ['a launcher that looks deeper', 'dashboard/server/virtual-bath/run.ts', "import '../../../firmware/src/main.js';"],
    ['a server that takes from the page', 'dashboard/server/http/app.ts', "import '../../page/words/sentence.js';"],
    ['a server with an undeclared package', 'dashboard/server/main.ts', "import left from 'left-pad';"],
    [
      'a page that takes from the server',
      'dashboard/page/main.tsx',
      "import type { Store } from '../server/store.js';",
    ],
    ['a page with a server package', 'dashboard/page/main.tsx', "import express from 'express';"],
    ['a page with a Node module', 'dashboard/page/main.tsx', "import { join } from 'node:path';"],
    ['a reader of models with a Node module', 'dashboard/model-files/obj.ts', "import { readFile } from 'node:fs';"],
    ['a reader of models that takes from the server', 'dashboard/model-files/obj.ts', "import '../server/clock.js';"],
    ['a set-up with a package', 'dashboard/bin/set-up.mjs', "import pino from 'pino';"],
    ['a folder whose name only begins alike', 'dashboard/page/main.tsx', "import '../page-secrets/a.js';"],
  ])('notices %s', (_what, file, code) => {
    expect(brokenWalls(file, code, declared)).toHaveLength(1);
    expect(brokenWalls(file, code, declared)[0]).toContain(`${file}:1 `);
  });

  test.each([
    ['an import declaration', "import { zod } from 'zod';"],
    ['an import for its effect', "import 'zod';"],
    ['an import of types', "import type { Zod } from 'zod';"],
    ['an export of what another file exports', "export { zod } from 'zod';"],
    ['an import within a function', "export const later = () => import('zod');"],
    ['an import within a type', "export type Zod = import('zod').Zod;"],
    ['an import equals', "import zod = require('zod');"],
    ['a require', "const zod = require('zod');"],
    ['a name that is put together', 'const name = "zod"; export const later = () => import(name);'],
  ])('sees %s', (_form, code) => {
    expect(brokenWalls('shared-core/src/control/step.ts', code, declared)).toHaveLength(1);
  });

  test.each([
    ['shared-core/src/control/step.ts', "import { stop } from './phase.js';"],
    ['shared-core/src/messages/wire.ts', "import type { Phase } from '../control/phase.js';"],
    ['shared-core/src/trade/plan.ts', "import { phases } from '../control/index.js';"],
    [
      'firmware/src/link/mqtt.ts',
      "import { step } from '@bathkeeper/shared-core/control'; const net = require('net');",
    ],
    ['firmware/bench/main.ts', "import net from 'node:net'; import packet from 'mqtt-packet';"],
    ['dashboard/server/main.ts', "import express from 'express'; import '@bathkeeper/shared-core/trade';"],
    ['dashboard/server/virtual-bath/run.ts', "import '../settings/settings.js'; import '@bathkeeper/firmware/bench';"],
    ['dashboard/page/main.tsx', "import { readModel } from '../model-files/index.js';"],
    ['dashboard/server/main.ts', "import { readModel } from '../model-files/index.js';"],
    ['dashboard/page/main.tsx', "import { render } from 'preact'; import './look/page.css'; const door = <main />;"],
    ['tests/nights/rehearse.ts', "import '@bathkeeper/firmware/bench'; import '../../dashboard/server/main.js';"],
    ['shared-core/src/trade/plan.ts', "// import fs from 'node:fs';\nexport const words = \"import 'zod'\";"],
  ])('lets %s have what it may', (file, code) => {
    expect(brokenWalls(file, code, declared)).toEqual([]);
  });

  test('tells the line, what was imported, and why the wall stands', () => {
    expect(brokenWalls('firmware/src/main.ts', "\n\nimport '@bathkeeper/shared-core/trade';", declared)).toEqual([
      'firmware/src/main.ts:3 imports the package "@bathkeeper/shared-core/trade": ' +
        'it may import @bathkeeper/shared-core/control, @bathkeeper/shared-core/messages. ' +
        'The bundle that is flashed holds the control loop, the core it runs, and nothing else.',
    ]);
  });

  test('counts each import of a file once', () => {
    expect(importsOf('a.ts', "import a = require('a');\nimport { b } from 'b';").map((found) => found.from)).toEqual([
      'a',
      'b',
    ]);
  });
});
