// Put scripts and style sheets into their format: `node scripts/format_web.mjs [--check] FILE…`.
// dprint's pieces run as WebAssembly: no program of one platform, no server, nothing asked of the network.

import { createContext } from '@dprint/formatter';
import { readFileSync, writeFileSync } from 'node:fs';
import { createRequire } from 'node:module';

const { resolve } = createRequire(import.meta.url);
/** @param {string} name */
const plugin = (name) => readFileSync(resolve(`${name}/plugin.wasm`));

const context = createContext({ lineWidth: 120, indentWidth: 2, newLineKind: 'lf' });
// Chosen so that it leaves alone what it may: the smallest difference to how the files were written.
context.addPlugin(plugin('@dprint/typescript'), {
  quoteStyle: 'preferSingle',
  quoteProps: 'preserve',
  useBraces: 'maintain',
  singleBodyPosition: 'maintain',
  nextControlFlowPosition: 'maintain',
  operatorPosition: 'maintain',
  trailingCommas: 'onlyMultiLine',
  'arrowFunction.useParentheses': 'maintain',
  'module.sortImportDeclarations': 'maintain',
  'importDeclaration.sortNamedImports': 'maintain',
  'exportDeclaration.sortNamedExports': 'maintain',
  'commentLine.forceSpaceAfterSlashes': false,
});
// A rule stays on one line where it fits.
context.addPlugin(plugin('dprint-plugin-malva'), {
  singleLineBlockThreshold: 20,
  hexCase: 'ignore',
  quotes: 'preferDouble',
  formatComments: false,
  omitNumberLeadingZero: true,
});
for (const { propertyName, message } of context.getConfigDiagnostics()) throw new Error(`${propertyName}: ${message}`);

const check = process.argv.includes('--check');
let amiss = 0;
for (const filePath of process.argv.slice(2).filter((word) => word !== '--check')) {
  const fileText = readFileSync(filePath, 'utf8'), formatted = context.formatText({ filePath, fileText });
  if (formatted === fileText) continue;
  amiss += 1;
  if (!check) writeFileSync(filePath, formatted);
  console.log(`${filePath}: ${check ? 'is not in its format; run make format' : 'formatted'}`);
}
process.exitCode = check && amiss ? 1 : 0;
