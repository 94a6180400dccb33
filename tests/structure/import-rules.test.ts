import { describe, expect, it } from 'vitest';
import { forbiddenImports } from './import-rules.js';
import { type Import, importsOf } from './imports.js';
import { projectSources, report, sourceOf } from './source-tree.js';

const imports = (path: string, text: string): readonly Import[] => importsOf(sourceOf(path, text));
const judged = (path: string, text: string): readonly string[] => report(forbiddenImports(imports(path, text)));

describe('the program', () => {
  it('takes from each part only what the architecture allows', () => {
    const all = projectSources().flatMap(importsOf);
    expect(all.filter(({ file, target }) => file.startsWith('agent/') && target !== undefined).length).toBeGreaterThan(0);
    expect(report(forbiddenImports(all))).toEqual([]);
  });
});

describe('an import is seen', () => {
  it.each([
    ['static', "import { a } from './a.js';", false],
    ['for its effect', "import './a.js';", false],
    ['of types', "import type { A } from './a.js';", true],
    ['of types one by one, which still loads the file', "import { type A } from './a.js';", false],
    ['passed on', "export { a } from './a.js';", false],
    ['inside a type', "type A = import('./a.js').A;", true],
    ['dynamic', "const a = await import('./a.js');", false],
    ['by require', "const a = require('./a.js');", false],
    ['as the file of a worker', "new Worker(new URL('./a.js', import.meta.url));", false],
  ])('%s', (_, text, typeOnly) => {
    expect(imports('agent/io/b.ts', text)).toMatchObject([{ target: 'agent/io/a.ts', typeOnly, line: 1 }]);
  });

  it('of a package by the name of the package', () => {
    expect(imports('broker/a.ts', "import a from '@scope/name/inside'; import b from 'name/inside';")).toMatchObject([
      { packageName: '@scope/name' },
      { packageName: 'name' },
    ]);
  });
});

describe('an import is refused', () => {
  it.each([
    ['from a step to its right', 'agent/flow/takeup/a.ts', "import { a } from '../ledger/a.js';"],
    ['of a type to its right too', 'agent/flow/takeup/a.ts', "import type { A } from '../ledger/a.js';"],
    ['from what all steps share to a step', 'agent/flow/output.ts', "import type { A } from './ledger/a.js';"],
    ['from a step to the wiring of the steps', 'agent/flow/alarm/a.ts', "import type { A } from '../way/a.js';"],
    ['from the wiring of the steps to the pipeline', 'agent/flow/way/a.ts', "import type { A } from '../../pipeline.js';"],
    ['from the wiring of the steps to the world', 'agent/flow/way/a.ts', "import type { A } from '../../io/a.js';"],
    ['from a step to a plan', 'agent/flow/finding/a.ts', "import { a } from '../../plan/a.js';"],
    ['from units to anything', 'agent/units/a.ts', "import type { A } from '../site/a.js';"],
    ['from the pure site to its reader', 'agent/site/a.ts', "import { a } from './read-site-file.js';"],
    ['from io to the store', 'agent/io/a.ts', "import { a } from '../store/a.js';"],
    ['from the store to a recording', 'agent/store/a.ts', "import type { A } from '../recording/a.js';"],
    ['from a recording to io', 'agent/recording/a.ts', "import { a } from '../io/a.js';"],
    ['of a value of a step by the store', 'agent/store/a.ts', "import { a } from '../flow/ledger/a.js';"],
    ['of the pipeline by io', 'agent/io/a.ts', "import { advance } from '../pipeline.js';"],
    ['of the live agent by the demo', 'agent/demo/a.ts', "import { a } from '../agent.js';"],
    ['of the pipeline by main', 'agent/main.ts', "import { advance } from './pipeline.js';"],
    ['of the broker by the agent', 'agent/agent.ts', "import { a } from '../broker/a.js';"],
    ['by the broker beyond the topics', 'broker/a.ts', "import { a } from '../agent/contract/messages.js';"],
    ['of a value of the site by the web server', 'web/server/a.ts', "import { a } from '../../agent/site/a.js';"],
    ['of a writer of the store by the web server', 'web/server/a.ts', "import { a } from '../../agent/store/journal.js';"],
    ['of a replay outside the worker', 'web/server/a.ts', "import { a } from '../../agent/replay/a.js';"],
    ['of a value of a step by the web client', 'web/client/a.ts', "import { a } from '../../agent/flow/ledger/a.js';"],
    ['of a value of the server by the web client', 'web/client/a.ts', "import { a } from '../server/a.js';"],
    ['of the world by a logic folder', 'web/server/logic/a.ts', "import { a } from '../routes.js';"],
    ['of a test by the program', 'agent/units/a.ts', "import { a } from '../../tests/a.js';"],
    ['by a part that nobody entered', 'agent/misc/a.ts', "import { a } from '../units/a.js';"],
  ])('%s', (_, path, text) => {
    expect(judged(path, text)).toEqual([expect.stringContaining(`${path}:1 imports`)]);
  });
});

describe('an import is allowed', () => {
  it.each([
    ['from a step to its left', 'agent/flow/ledger/a.ts', "import { a } from '../takeup/a.js';"],
    [
      'of every step by the wiring of the steps',
      'agent/flow/way/a.ts',
      "import { a } from '../reading/a.js'; import { b } from '../page/b.js';",
    ],
    ['of the wiring of the steps by the pipeline', 'agent/pipeline.ts', "import { a } from './flow/way/a.js';"],
    ['of the wiring of the steps by a replay', 'agent/replay/a.ts', "import { a } from '../flow/way/a.js';"],
    ['of a type of a step by the store', 'agent/store/a.ts', "import type { A } from '../flow/ledger/a.js';"],
    [
      'of everything by the live agent',
      'agent/agent.ts',
      "import { a } from './pipeline.js'; import { b } from './io/b.js'; import { c } from './store/c.js';",
    ],
    [
      'of topics by the broker',
      'broker/a.ts',
      "import { a } from '../agent/contract/topics.js'; import { b } from '../agent/contract/topics/b.js';",
    ],
    ['of a reader of the store by the web server', 'web/server/a.ts', "import { a } from '../../agent/store/history-reader.js';"],
    ['of a replay in the worker', 'web/server/bench/replay-worker.ts', "import { a } from '../../../agent/replay/a.js';"],
    ['of a type by a logic folder', 'web/client/logic/a.ts', "import type { A } from '../link.js';"],
  ])('%s', (_, path, text) => {
    expect(judged(path, text)).toEqual([]);
  });
});
