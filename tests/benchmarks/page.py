"""Size and speed of the page in headless Chromium: ``python tests/benchmarks/page.py [--clock] [page.html ...]``.

Aims: under 600 kB with the font; on a processor six times as slow ready within 1 s and a tap answered within 100 ms.

Two measures. *Processor*: milliseconds that the page's main thread works, with all of the browser's own work on it,
until the page is ready, and from the touch until the frame that answers it; times six it is what the aim allows, and
other work on the machine hardly changes it. *By the clock*, with ``--clock``: with the browser slowed six times, from
the request to "ready", and from the touch to the frame as the browser itself tells it (Event Timing, W3C; in steps of
8 ms); a busy machine makes it too long. The least and the median.

A tap is a touch on a phone's screen, in every mode and at every detail, on the whole picture and near. *After*: the
work of what follows the answer in tasks of its own. *First*: the first tap of the freshly opened page.
"""

from __future__ import annotations

import sys
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
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
FIRST = 5
NEAR_PX_PER_MM = 5
READY = "return performance.getEntriesByName('ready')[0].startTime"
FRAME = "await new Promise(done => requestAnimationFrame(() => setTimeout(done, 0)));"
APP = "const { app } = await plexusdraw;"


@dataclass(frozen=True)
class Mode:
    """A mode: its address, how it begins, how each tap is taken back, and what is tapped."""

    address: str
    again: str
    begin: str = ""
    things: str = "segments"
    details: Sequence[str] = ("framework", "nerves", "muscles")


ROUND = "if (!app.mode.round?.question || app.mode.round.verdict) app.mode.begin();"
MODES = {
    "explore": Mode("mode=explore", "await app.set({ show: '' });"),
    "injure": Mode("mode=injure", "await app.set({ cuts: [] });"),
    "localise": Mode("mode=find", "await app.set({ findings: [] });", things="muscles", details=("muscles",)),
    "quiz, a button": Mode("mode=test&kind=name", ROUND, ROUND, "options"),
    "quiz, the picture": Mode("mode=test&kind=place", ROUND, ROUND),
    "lecture": Mode("mode=teach", "app.mode.clear(); app.refresh();", "app.mode.go(Math.max(...CLEAR));"),
}
"""In "localise" the picture takes muscles, which only the largest detail shows."""
CLEAR = "const CLEAR = app.plexus.data.lecture.flatMap((stop, i) => (stop.hide ? [] : [i + 1]));"
"""The last step of a lecture that asks nothing has all that is drawn."""
THINGS = (
    APP
    + """
const shown = app.picture.items.map(({ id }) => id).filter((id) => app.view.entities.get(id) !== "hidden");
return shown.filter((id) => (app.plexus[arguments[0]] || app.plexus.segments).has(id)).slice(3, 3 + arguments[1]);
"""
)
NEAR = """
app.picture.setZoom(0);
if (arguments[1]) app.picture.zoomTo(arguments[1], 0, 0);
if (arguments[1]) app.picture.bring(arguments[0]);
"""
BUTTON = """
const button = document.querySelector(".options button");
button.scrollIntoView({ block: "nearest" });
const { x, y, width, height } = button.getBoundingClientRect();
return [x + width / 2, y + height / 2];
"""
HOLD = "if (!app.steps.held) { app.steps.held = app.steps.follow; app.steps.follow = async () => {}; }"
"""What follows an answer waits until it is asked for, so that the two are told apart."""
WATCH = """
globalThis.answered = 0;
globalThis.watching ||= new PerformanceObserver((list) => {
  const ours = list.getEntries().filter(({ interactionId }) => interactionId);
  answered = Math.max(answered, ...ours.map(({ duration }) => duration));
});
watching.observe({ type: "event", durationThreshold: 16 });
"""
SETTLE_S = 1.0


def main() -> None:
    """Print the figures."""
    clock = "--clock" in sys.argv
    with TemporaryDirectory() as folder:
        named = [Path(text).resolve() for text in sys.argv[1:] if text != "--clock"]
        paths = named or [write(Path(folder) / "plexus.html")]
        with browser() as found:
            found.driver.execute_cdp_cmd("Performance.enable", {"timeDomain": "threadTicks"})
            found.driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": True})
            for path in paths:
                print(f"{path.name}: {path.stat().st_size / 1000:.0f} kB")
                measure(found, path, clock)


def write(path: Path) -> Path:
    """Build the page of the built-in model."""
    start = time.process_time()
    path.write_bytes(build(load("brachial")))
    print(f"build: {time.process_time() - start:.1f} s of processor time")
    return path


def measure(page: Browser, path: Path, clock: bool) -> None:
    """Print times, ms."""
    page.size(*PHONE)
    say("ready, processor", [opened(page, path, 1)[0] for _ in range(ROUNDS)])
    say(f"ready, {SLOWER} times slower, by the clock", [opened(page, path, SLOWER)[1] for _ in range(ROUNDS)])
    for name, mode in MODES.items():
        for detail in mode.details:
            for scale in (0, NEAR_PX_PER_MM):
                what = f"tap, {name}, {detail}, {'near' if scale else 'whole'}"
                answers, after = zip(*taps(page, path, mode, detail, scale), strict=True)
                say(f"{what}, processor", answers, after)
                if clock:
                    say(f"{what}, {SLOWER} times slower, by the clock", list(timed(page, path, mode, detail, scale)))
            first = [next(taps(page, path, mode, detail, NEAR_PX_PER_MM))[0] for _ in range(FIRST)]
            say(f"tap, {name}, {detail}, near, first, processor", first)


def opened(page: Browser, path: Path, slower: int) -> tuple[float, float]:
    """Open the page afresh: work of its thread until it is ready, and that by the clock, ms."""
    page.driver.get("about:blank")
    slow(page, slower)
    before = worked(page)
    page.driver.get(path.as_uri())
    page.wait("return document.documentElement.classList.contains('ready')")
    found = worked(page) - before, page.run(READY)
    slow(page, 1)
    return found


def taps(page: Browser, path: Path, mode: Mode, detail: str, scale: float) -> Iterator[tuple[float, float]]:
    """Work of the page's thread for each answer and for what follows it, ms, less what asking takes."""
    ids = begun(page, path, mode, detail)
    asking = min(cost(page, APP + FRAME) for _ in range(ROUNDS))
    for id in ids:
        where = ready(page, mode, id, scale, HOLD)
        before = worked(page)
        page.touch(*where)
        page.run(FRAME)
        answer = worked(page) - before - asking
        yield answer, cost(page, f"{APP} app.steps.finish(); {FRAME}") - asking


def timed(page: Browser, path: Path, mode: Mode, detail: str, scale: float) -> Iterator[float]:
    """Time from each touch to the frame that answers it, in a slowed browser, ms."""
    for id in begun(page, path, mode, detail):
        where = ready(page, mode, id, scale, WATCH)
        slow(page, SLOWER)
        page.touch(*where)
        time.sleep(SETTLE_S)
        slow(page, 1)
        yield max(page.run("return answered"), 16)


def begun(page: Browser, path: Path, mode: Mode, detail: str) -> list[str]:
    """Open the page in a mode: ids of what is tapped."""
    page.open(path, f"{mode.address}&detail={detail}")
    page.run(f"{APP} {CLEAR} {mode.begin} {FRAME}")
    return page.run(THINGS, mode.things, TAPS)


def ready(page: Browser, mode: Mode, id: str, scale: float, script: str) -> tuple[float, float]:
    """Take back the last tap: where the next one goes, px."""
    page.run(f"{APP} app.steps.finish(); {mode.again} {NEAR} {script} {FRAME}{FRAME}", id, scale)
    where = page.run(BUTTON) if mode.things == "options" else page.seen(id)
    page.run(FRAME)
    return where


def slow(page: Browser, times: int) -> None:
    """Slow the browser's processor."""
    page.driver.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": times})


def cost(page: Browser, script: str, *values: object) -> float:
    """Work of the page's thread for a script, ms."""
    before = worked(page)
    page.run(script, *values)
    return worked(page) - before


def worked(page: Browser) -> float:
    """What the page's thread has worked since the browser began, ms."""
    metrics = page.driver.execute_cdp_cmd("Performance.getMetrics", {})["metrics"]
    return next(1000.0 * metric["value"] for metric in metrics if metric["name"] == "TaskDuration")


def say(what: str, times: Sequence[float], after: Sequence[float] = ()) -> None:
    """Print the least and the median, and six times these."""
    least, middle = min(times), median(times)
    slowed = f"; x {SLOWER}: {SLOWER * least:.0f}, {SLOWER * middle:.0f}" if "processor" in what else ""
    rest = f"; after {median(after):.0f} ms" if after else ""
    print(f"{what}: least {least:.0f} ms, median {middle:.0f} ms{slowed}{rest}", flush=True)


if __name__ == "__main__":
    main()
