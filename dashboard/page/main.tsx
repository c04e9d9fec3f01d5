/* Starts the page: the look, the stream, the first screen. */
import { render } from 'preact';
import { Page } from './screens/page.js';
import { startLook } from './state/look.js';
import { startListening } from './state/state.js';

startLook();
startListening();
render(<Page />, document.getElementById('page')!);
