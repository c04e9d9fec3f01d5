/* Reading model files, for the server, the command and the page's worker alike: bytes or a source of them in, a mesh in millimetres out. */
export * from './model-file.js';
export * from './model-source.js';
export * from './read-model.js';
export * from './unreadable-model.js';
