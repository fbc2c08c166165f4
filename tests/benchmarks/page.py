"""Size and speed of the page in headless Chromium: ``python tests/benchmarks/page.py [page.html ...]``.

Aims: under 600 kB with the font; on a processor six times as slow ready within 1 s and a tap answered within 100 ms.

Two measures. *Processor*: milliseconds that the page's main thread works, with all of the browser's own work on it,
until the page is ready, and for a tap until its frame is made; times six it is what the aim allows, and other work on
the machine hardly changes it. *By the clock*: with the browser slowed six times, from the request to "ready"; a busy
machine makes it too long. The least and the median of all rounds. A tap is on a phone, from the
whole picture: a segment shown or cut, the picture brought near to it, the result told.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator
from pathlib import Path
from statistics import median
from tempfile import TemporaryDirectory

HERE = Path(__file__).resolve().parent
sys.path[:0] = [str(HERE.parents[1]), str(HERE.parent / "support")]

from browser import Browser, browser

from plexusdraw.model import load
from plexusdraw.page import build

ROUNDS = 9
SLOWER = 6
PHONE = (390, 844)
TAPS = 15
READY = "return performance.getEntriesByName('ready')[0].startTime"
FRAME = "await new Promise(done => requestAnimationFrame(() => setTimeout(done, 0)));"
SEGMENTS = """
const { app } = await plexusdraw;
return app.picture.items.map(({ id }) => id).filter((id) => app.plexus.segments.has(id)).slice(3, 3 + arguments[0]);
"""
WHOLE = f"""
const {{ app }} = await plexusdraw;
await app.set({{ cuts: [], show: "" }});
app.picture.setZoom(0);
{FRAME}{FRAME}
"""
TAP = f"const {{ app }} = await plexusdraw; app.mode.pick(arguments[0], null); {FRAME}"


def main() -> None:
    """Print the figures."""
    with TemporaryDirectory() as folder:
        paths = [Path(text).resolve() for text in sys.argv[1:]] or [write(Path(folder) / "plexus.html")]
        with browser() as found:
            found.driver.execute_cdp_cmd("Performance.enable", {"timeDomain": "threadTicks"})
            for path in paths:
                print(f"{path.name}: {path.stat().st_size / 1000:.0f} kB")
                measure(found, path)


def write(path: Path) -> Path:
    """Build the page of the built-in model."""
    start = time.process_time()
    path.write_bytes(build(load("brachial")))
    print(f"build: {time.process_time() - start:.1f} s of processor time")
    return path


def measure(page: Browser, path: Path) -> None:
    """Print times, ms."""
    page.size(*PHONE)
    say("ready, processor", [opened(page, path, 1)[0] for _ in range(ROUNDS)])
    say(f"ready, {SLOWER} times slower, by the clock", [opened(page, path, SLOWER)[1] for _ in range(ROUNDS)])
    for mode in ("explore", "injure"):
        for detail in ("nerves", "muscles"):
            say(f"tap, {mode}, {detail}, processor", list(taps(page, path, f"mode={mode}&detail={detail}")))


def opened(page: Browser, path: Path, slower: int) -> tuple[float, float]:
    """Open the page afresh: work of its thread until it is ready, and that by the clock, ms."""
    page.driver.get("about:blank")
    page.driver.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": slower})
    before = worked(page)
    page.driver.get(path.as_uri())
    page.wait("return document.documentElement.classList.contains('ready')")
    found = worked(page) - before, page.run(READY)
    page.driver.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": 1})
    return found


def taps(page: Browser, path: Path, address: str) -> Iterator[float]:
    """Work of the page's thread for each tap, ms, less what asking for it takes."""
    page.open(path, address)
    asking = min(cost(page, FRAME) for _ in range(ROUNDS))
    for id in page.run(SEGMENTS, TAPS):
        page.run(WHOLE)
        yield cost(page, TAP, id) - asking


def cost(page: Browser, script: str, *values: object) -> float:
    """Work of the page's thread for a script, ms."""
    before = worked(page)
    page.run(script, *values)
    return worked(page) - before


def worked(page: Browser) -> float:
    """What the page's thread has worked since the browser began, ms."""
    metrics = page.driver.execute_cdp_cmd("Performance.getMetrics", {})["metrics"]
    return next(1000.0 * metric["value"] for metric in metrics if metric["name"] == "TaskDuration")


def say(what: str, times: list[float]) -> None:
    """Print the least and the median."""
    print(f"{what}: least {min(times):.0f} ms, median {median(times):.0f} ms", flush=True)


if __name__ == "__main__":
    main()
