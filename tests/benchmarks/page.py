"""Size and speed of the page in headless Chromium on one core: ``python tests/benchmarks/page.py [page.html]``.

Aims: under 600 kB with the font, first picture within 0.3 s, a click answered within 50 ms. "First picture" is the
browser's first contentful paint, the time from the request to the drawing that stands in the file; "ready" is when the
page answers. A click's time runs until the picture is drawn anew and laid out (median and worst of all names).
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "support")]

from browser import Browser, browser

from plexusdraw.model import load
from plexusdraw.page import build

ROUNDS = 5
PAINTED = "return performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? 0"
READY = "return performance.getEntriesByName('ready')[0].startTime"
CLICKS = """
const { app } = await plexusdraw;
await app.set({ mode: arguments[0], detail: arguments[1] });
const times = [];
for (const item of app.picture.items.filter(({ id }) => app.plexus.segments.has(id))) {
  await app.set({ cuts: [], show: "" });
  document.querySelector("#content").getBoundingClientRect();
  const start = performance.now();
  app.mode.pick(item.id, null);
  document.querySelector("#view svg").getBoundingClientRect();
  document.querySelector("#content").getBoundingClientRect();
  times.push(performance.now() - start);
}
return times;
"""
FIND = """
const { app } = await plexusdraw;
const times = [];
for (const about of app.plexus.muscles.keys()) {
  const start = performance.now();
  app.set({ mode: "find", findings: [...app.shown.findings, ["weak", about]].slice(-6) });
  document.querySelector("#content").getBoundingClientRect();
  times.push(performance.now() - start);
}
return times;
"""


def main() -> None:
    """Print the figures."""
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    with TemporaryDirectory() as folder:
        path = Path(sys.argv[1]) if len(sys.argv) > 1 else write(Path(folder) / "plexus.html")
        print(f"size: {path.stat().st_size / 1000:.0f} kB")
        with browser() as found:
            measure(found, path.resolve())


def write(path: Path) -> Path:
    """Build the page of the built-in model."""
    start = time.perf_counter()
    path.write_bytes(build(load("brachial")))
    print(f"build: {time.perf_counter() - start:.1f} s")
    return path


def measure(page: Browser, path: Path) -> None:
    """Print times, ms."""
    page.size(1440)
    starts = []
    for _ in range(ROUNDS):
        page.open(path)
        page.run("return new Promise(done => setTimeout(done, 100))")
        starts.append((page.run(PAINTED), page.run(READY)))
    say("first picture", [painted for painted, _ in starts])
    say("ready", [ready for _, ready in starts])
    for mode in ("explore", "injure"):
        for detail in ("nerves", "muscles"):
            say(f"click, {mode}, {detail}", page.open(path).run(CLICKS, mode, detail))
    say("one more finding", page.open(path).run(FIND))


def say(what: str, times: list[float]) -> None:
    """Print the median and the worst."""
    print(f"{what}: {median(times):.0f} ms, worst {max(times):.0f} ms")


if __name__ == "__main__":
    main()
