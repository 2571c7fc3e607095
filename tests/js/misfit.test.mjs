import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { explain } from '../../src/tarsus/web/static/shared/misfit.js';

const { cases } = JSON.parse(readFileSync(new URL('../published/misfit_cases.json', import.meta.url), 'utf8'));

for (const { worn, told } of cases) {
  for (const { read, say, if_so } of told) {
    test(`${JSON.stringify(read)} of ${JSON.stringify(worn)}: ${say}`, () => {
      assert.deepEqual(explain(worn, read), say === null ? null : { say, ifSo: if_so });
    });
  }
}
