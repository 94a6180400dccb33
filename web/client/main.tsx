import { render } from 'preact';
import { App } from './app.js';
import { applyTheme } from './state/preferences.js';
import { begin } from './state/session.js';
import './styles/tokens.css';
import './styles/base.css';
import './styles/shell.css';
import './styles/drawings.css';
import './styles/floor.css';
import './styles/floor-row.css';
import './styles/floor-widths.css';
import './styles/pages.css';
import './styles/work.css';

applyTheme();
const root = document.getElementById('takeline');
if (root === null) throw new Error('index.html has no place for the screens');
render(<App />, root);
void begin();
