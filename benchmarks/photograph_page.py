"""How long a band takes in a browser slowed six times, and what twelve megapixels cost the page.

    .venv/bin/python benchmarks/photograph_page.py

The phone's own modules in Chromium, over a server of this folder. The tables and the weighing are timed on
the page's thread, since the slowdown reaches that thread alone; on a phone both run in a worker. Timed is the
tap of a photograph's last band, each in a flock that was not asked before, every other one without metal; it
is told by the photograph's bands. The picture
is opened by the page's own `PhotoDesk`: how long it held the page at a stretch, all of it slowed six times,
and how far the process that draws the page grew at its highest above what it held before.
"""

from __future__ import annotations

import functools
import http.server
import threading
from pathlib import Path
from statistics import median
from typing import Any, Final

from playwright.sync_api import CDPSession, Page, sync_playwright

from tarsus.core.marks.palette import BUILT_IN

STATIC: Final = Path(__file__).resolve().parents[1] / "src" / "tarsus" / "web" / "static"
CHROMIUM: Final = "/usr/bin/chromium"
SLOWDOWN: Final = 6
BANDS: Final = (2, 3, 4, 6)
TURNS: Final = 14
FRAME_MS: Final = 50
"""A task of the page that is longer is felt (W3C Long Tasks)."""

WEIGH: Final = """async ({palette, bands}) => {
    const { looksOf } = await import('/shared/photograph-looks.js');
    const { photographed, readerOfPhotographs, tapped, whose } = await import('/shared/photograph.js');
    const { prepareFlock } = await import('/shared/reading.js');
    const begun = performance.now(), looks = looksOf(palette), tables = performance.now() - begun;
    const names = Object.keys(palette), confusion = Object.fromEntries(names.map((name) => [name, {}]));
    const of = (hex) => [1, 3, 5].map((at) => parseInt(hex.slice(at, at + 2), 16));
    const near = (code, at) => Math.max(0, Math.min(255, code - 10 + at % 20));
    const one = (name, at) => of(palette[name]).map((code) => near(code, at));
    const patch = (name) => Array.from({ length: 200 }, (_, at) => one(name, at));
    const reader = { swap: .01, flip: .005, overlook: .003, lost: .003, confusion };
    const n = names.length;
    const stack = (id) => Array.from({ length: bands }, (_, at) => names[(id * (at + 2) + at) % n]);
    const marks = (id) => ({ 'left leg': stack(id), 'right leg': ['metal'] });
    const birds = Array.from({ length: 60 }, (_, id) => ({ id, marks: marks(id) }));
    const layout = { 'left leg': stack(0).map((_, at) => at), 'right leg': ['metal'] };
    // As in the worker: what bands gave is kept while one more is tapped, and the flock while it is the same.
    const metal = (turn) => turn % 2 ? null : patch('white'), fits = [], flocks = [], photos = [];
    const shown = (turn, many) => tapped(stack(turn).slice(0, many).map(patch), metal(turn), .2);
    window.before = (turn) => {
        fits[turn] = new Map();
        flocks[turn] = prepareFlock(birds, readerOfPhotographs(reader));
        photographed(looks, shown(turn, bands - 1), undefined, fits[turn]);
    };
    window.weigh = (turn) => {
        photos[turn] = photographed(looks, shown(turn, bands), undefined, fits[turn]);
    };
    window.whose = (turn) => { whose(flocks[turn], photos[turn], layout); };
    const held = looks.encoded.byteLength + looks.spread.byteLength + looks.shade.byteLength;
    return { tables, held };
}"""

MAKE: Final = """async () => {
    const canvas = Object.assign(document.createElement('canvas'), { width: 4000, height: 3000 });
    const brush = canvas.getContext('2d');
    for (let at = 0; at < 6000; at += 1) {
        brush.fillStyle = `hsl(${(at * 47) % 360} 60% ${20 + at % 60}%)`;
        brush.fillRect((at * 977) % 4000, (at * 613) % 3000, 90, 70);
    }
    const blob = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', .9)), type = blob.type;
    canvas.width = canvas.height = 1;
    window.picture = new File([blob], 'leg.jpg', { type, lastModified: Date.now() });
    return blob.size;
}"""

OPEN: Final = """async () => {
    const { PhotoDesk } = await import('/page/photo-desk.js'), long = [];
    const heard = (list) => long.push(...list.getEntries().map((one) => one.duration));
    const watch = new PerformanceObserver(heard);
    watch.observe({ entryTypes: ['longtask'] });
    window.desk = new PhotoDesk(() => {});
    await new Promise((done) => setTimeout(done, 200));
    long.length = 0;
    const begun = performance.now();
    await desk.open(window.picture, true);
    const took = performance.now() - begun;
    await new Promise((done) => setTimeout(done, 300));
    return { took, longest: Math.max(0, ...long), width: desk.picture.width };
}"""


def served() -> tuple[http.server.ThreadingHTTPServer, str]:
    """The phone's files on a port of their own."""

    class Quiet(http.server.SimpleHTTPRequestHandler):
        def log_message(self, *_: Any) -> None:
            pass

    server = http.server.ThreadingHTTPServer(
        ("127.0.0.1", 0), functools.partial(Quiet, directory=str(STATIC))
    )
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server, f"http://127.0.0.1:{server.server_port}"


def worked(page: Page, devtools: CDPSession, what: str) -> float:
    """Milliseconds of the page's thread by the processor, whatever else runs on the machine."""

    def so_far() -> float:
        told = devtools.send("Performance.getMetrics")["metrics"]
        return 1000 * float(next(one["value"] for one in told if one["name"] == "ScriptDuration"))

    before = so_far()
    page.evaluate(f"() => new Promise((done) => setTimeout(() => {{ {what}; done(); }}))")
    return so_far() - before


def megabytes(devtools: CDPSession, key: str) -> float:
    """Of the largest process that draws pages: ``VmRSS`` now, ``VmHWM`` at its highest."""
    told = devtools.send("SystemInfo.getProcessInfo")["processInfo"]
    found = []
    for process in told:
        if process["type"] == "renderer":
            lines = Path(f"/proc/{process['id']}/status").read_text().splitlines()
            found.append(next(int(line.split()[1]) / 1024 for line in lines if line.startswith(key)))
    return max(found)


def main() -> int:
    """Print the figures."""
    server, address = served()
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page: Page = browser.new_page()
        page.route(f"{address}/blank", lambda route: route.fulfill(content_type="text/html", body="<p>"))
        page.goto(f"{address}/blank")
        slow = page.context.new_cdp_session(page)
        whole = browser.new_browser_cdp_session()
        slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
        slow.send("Performance.enable", {"timeDomain": "threadTicks"})
        for bands in BANDS:
            told = page.evaluate(WEIGH, {"palette": BUILT_IN.as_mapping(), "bands": bands})
            _, weighed, named = (
                [worked(page, slow, f"{what}({turn})") for turn in range(TURNS)]
                for what in ("before", "weigh", "whose")
            )
            taps = [one + other for one, other in zip(weighed, named, strict=True)]
            print(
                f"{bands} bands, {SLOWDOWN} × slower: tables {told['tables'] / 1000:.2f} s once "
                f"({told['held'] / 1e6:.1f} MB); the last band: {median(weighed):.0f} ms to weigh all, "
                f"{median(named):.0f} more to name the bird of 60, by each band {median(taps) / bands:.0f} "
                f"({max(taps) / bands:.0f} at most)"
            )
        slow.send("Emulation.setCPUThrottlingRate", {"rate": 1})
        size = page.evaluate(MAKE)
        slow.send("HeapProfiler.collectGarbage")
        before = megabytes(whole, "VmRSS")
        slow.send("Emulation.setCPUThrottlingRate", {"rate": SLOWDOWN})
        told = page.evaluate(OPEN)
        grown = megabytes(whole, "VmHWM") - before
        print(
            f"12 megapixels ({size / 1e6:.1f} MB): open after {told['took'] / 1000:.2f} s, the page held for "
            f"{told['longest']:.0f} ms at a stretch (felt from {FRAME_MS}); {grown:.0f} MB more at most; "
            f"{told['width']} pixels wide afterwards"
        )
        browser.close()
    server.shutdown()
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
