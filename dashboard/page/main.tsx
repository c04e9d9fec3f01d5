/* Starts the page: the look, the stream, the first screen, and the worker that outlives it. */
import { render } from 'preact';
import { Page } from './screens/page.js';
import { startWorker } from './state/worker.js';
import { startLook } from './state/look.js';
import { startListening } from './state/state.js';

startLook();
startListening();
startWorker();
render(<Page />, document.getElementById('page')!);
