"""All modules of the pages in one file: the same, by the same names, and none forgotten by a page."""

from __future__ import annotations

import gzip
import json
import re
import subprocess
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client

from tarsus.web.offline import kept_files
from tarsus.web.one_script import CLASSIC, ENDS, STATIC, NotUnderstood, one_script, stands_on, together

TEMPLATES = STATIC.parent / "templates"
NAMED = re.compile(r'<meta name="script"\s+content="([^"{]+)"')
LOOK = """
import { readFileSync } from 'node:fs';
import { posix } from 'node:path';
import { SourceTextModule } from 'node:vm';
const read = new Map(), told = {};
const own = (name) => {
  if (!read.has(name)) {
    read.set(name, new SourceTextModule(readFileSync(`${STATIC}/${name}`, 'utf-8'), { identifier: name }));
  }
  return read.get(name);
};
const near = (other, { identifier }) => own(posix.join(posix.dirname(identifier), other));
const RETURNED = /return \\{([^}]*)\\};\\s*\\}$/;
for (const name of ways.keys()) {
  const itself = own(name);
  if (itself.status === 'unlinked') await itself.link(near);
  const given = RETURNED.exec(String(ways.get(name)))[1].match(/(?<![.\\w])\\w+(?=,|:| $)/g) || [];
  const keys = Reflect.ownKeys(itself.namespace).filter((key) => typeof key === 'string');
  told[name] = [keys.sort(), given.sort()];
}
console.log(JSON.stringify(told));
"""
NEED_NO_PAGE = (
    "\nfor (const name of ways.keys()) if (name.startsWith('shared/')) Object.values(need(name));\n"
)


def in_node(text: str, tmp_path: Path) -> str:
    file = tmp_path / "all.mjs"
    file.write_text(text, encoding="utf-8")
    done = subprocess.run(
        ["node", "--experimental-vm-modules", "--no-warnings", str(file)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def test_each_module_gives_what_it_gives_by_itself(tmp_path: Path) -> None:
    """Against ECMAScript modules as V8 reads them."""
    begins = f"const STATIC = {json.dumps(STATIC.as_posix())};\n"
    told = json.loads(in_node(begins + one_script().replace(ENDS, LOOK + NEED_NO_PAGE), tmp_path))
    assert len(told) > 140
    assert {name: given for name, (_, given) in told.items()} == {
        name: own for name, (own, _) in told.items()
    }


def test_a_piece_in_many_files_is_made_once_and_only_when_it_is_needed(tmp_path: Path) -> None:
    said = together(
        {
            "page/a.js": "import { b as other, C } from './b.js';\nimport * as c from '../shared/c.js';\n"
            "import './d.js';\nconsole.log(other(1), new C().n, c.made, c.again());\n",
            "page/b.js": "import { made } from '../shared/c.js';\nexport { made } from '../shared/c.js';\n"
            "/* import { x } from './gone.js'; */\nexport function b(n) {\n  return n + made;\n}\n"
            "export class C {\n  n = 4;\n}\n",
            "page/d.js": "console.log('d');\n",
            "page/e.js": "console.log('never');\n",
            "shared/c.js": "console.log('c');\nexport const made = 2;\nasync function own() {}\n"
            "const again = () => typeof own;\nexport { again };\n",
        }
    )
    page = (
        "const document = { querySelectorAll: () => [{ content: 'page/a.js' }, { content: 'page/b.js' }] };\n"
    )
    assert in_node(page + said, tmp_path).split("\n") == ["c", "d", "3 4 2 function", ""]


@pytest.mark.parametrize(
    "text",
    [
        "import only from './b.js';\n",
        "export default 1;\n",
        "export const [a, b] = [1, 2];\n",
        "export * from './b.js';\n",
        "const a = 1;\nexport { a as b };\n",
        "import { x } from './gone.js';\n",
    ],
)
def test_a_form_that_is_not_known_is_refused_with_the_name_of_the_module(text: str) -> None:
    with pytest.raises(NotUnderstood, match=r"page/a\.js"):
        together({"page/a.js": text, "page/b.js": "export const x = 1;\n"})


def test_every_page_names_scripts_that_are_there() -> None:
    named = {name for page in TEMPLATES.rglob("*.html") for name in NAMED.findall(page.read_text("utf-8"))}
    assert {"page/elements.js", "page/roll-call.js", "page/print.js"} <= named
    assert [name for name in sorted(named) if f"ways.set({json.dumps(name)}," not in one_script()] == []


def test_what_a_phone_keeps_is_the_one_file_and_what_runs_beside_the_pages() -> None:
    kept = {address.removeprefix(settings.STATIC_URL) for address in kept_files()[0]}
    scripts = {name for name in kept if name.endswith(".js")}
    assert scripts == {"page/all.js"} | CLASSIC | stands_on("worker/offline.js") | stands_on(
        "worker/photograph.js"
    )
    answer = Client().get(f"{settings.STATIC_URL}page/all.js", headers={"accept-encoding": "gzip"})
    assert "immutable" in answer["Cache-Control"]
    assert gzip.decompress(answer.content).decode() == one_script()
