/*
 * The rooms of the project and what each may import: the few walls that keep the core pure, the bundle small and the
 * controller independent of every other computer. Read by the check in walls.ts; to move a wall, change this table.
 */

/** One room: a folder, and what its files may import beside each other. */
export interface Room {
  readonly folder: string;
  /** Why the wall stands; told to whoever runs into it. */
  readonly because: string;
  /** Further folders whose files may be imported by a relative path. The room's own folder always may. */
  readonly folders: readonly string[];
  /** Packages by name or by name and subpath; a name admits its subpaths. 'declared': what the workspace's package.json lists. */
  readonly packages: readonly string[] | 'declared';
  readonly mayUseNode: boolean;
  /** Modules that are part of the interpreter, loaded with require. */
  readonly interpreterModules?: readonly string[];
}

const core = '@bathkeeper/shared-core';

/** Where several match a file, the longest folder counts. */
export const rooms: readonly Room[] = [
  {
    folder: 'shared-core/src',
    because: 'The core is pure: it imports only itself, so that it gives the same answer everywhere.',
    folders: [],
    packages: [],
    mayUseNode: false,
  },
  {
    folder: 'shared-core/src/control',
    because: 'The controller runs this room and has no place for more: control imports only control.',
    folders: [],
    packages: [],
    mayUseNode: false,
  },
  {
    folder: 'shared-core/src/messages',
    because: 'The controller runs this room and has no place for more: messages may take from control, and no more.',
    folders: ['shared-core/src/control'],
    packages: [],
    mayUseNode: false,
  },
  {
    folder: 'firmware/src',
    because: 'The bundle that is flashed holds the control loop, the core it runs, and nothing else.',
    folders: [],
    packages: [`${core}/control`, `${core}/messages`],
    mayUseNode: false,
    interpreterModules: ['Storage', 'Flash', 'Wifi', 'TelnetServer', 'net', 'dgram', 'crypto', 'OneWire', 'Flash'],
  },
  {
    folder: 'firmware/bring-up',
    because:
      'The second program on the board is made of the first one’s parts and of the core it runs, and nothing else.',
    folders: ['firmware/src'],
    packages: [`${core}/control`, `${core}/messages`],
    mayUseNode: false,
    interpreterModules: ['Storage', 'crypto'],
  },
  {
    folder: 'firmware/build',
    because: 'The build of the bundle knows nothing of the dashboard.',
    folders: ['firmware/dist/build'], // its command starts as plain JavaScript and hands over to what it compiled
    packages: 'declared',
    mayUseNode: true,
  },
  {
    folder: 'firmware/bench',
    because: 'The virtual bath runs the built bundle as it is flashed, and knows nothing of the dashboard.',
    folders: [],
    packages: 'declared',
    mayUseNode: true,
  },
  {
    folder: 'dashboard/bin',
    because: 'It runs before anything is installed: Node built-ins only.',
    folders: [],
    packages: [],
    mayUseNode: true,
  },
  {
    folder: 'dashboard/icons',
    because: 'It paints the icons while the page is built, from nothing but its own drawing.',
    folders: [],
    packages: [],
    mayUseNode: true,
  },
  {
    folder: 'dashboard/model-files',
    because:
      'Server, command and the page’s worker read model files with the same code: nothing of Node.js, nothing of the server.',
    folders: [],
    packages: [`${core}/part`, 'fflate', 'saxes', 'earcut'],
    mayUseNode: false,
  },
  {
    folder: 'dashboard/server',
    because: 'Firmware and dashboard know each other by messages only; the page is handed out as built.',
    folders: ['dashboard/model-files'],
    packages: 'declared',
    mayUseNode: true,
  },
  {
    folder: 'dashboard/server/virtual-bath',
    because: 'It starts the virtual bath, and may know its public face, but nothing of the firmware behind it.',
    folders: ['dashboard/server'],
    packages: ['@bathkeeper/firmware/bench', core],
    mayUseNode: true,
  },
  {
    folder: 'dashboard/page',
    because: 'The page takes from the core and from its own libraries, never from the server.',
    folders: ['dashboard/model-files'],
    packages: [core, 'preact', '@preact/signals', 'chart.js', 'three'],
    mayUseNode: false,
  },
];
