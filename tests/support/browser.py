"""A headless Chromium for the tests of the page, and what they ask of it."""

from __future__ import annotations

import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from selenium import webdriver
from selenium.webdriver.chrome.service import Service
from selenium.webdriver.support.ui import WebDriverWait

FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--hide-scrollbars",
)
SECONDS = 300
"""How long a page is waited for: no matter on any machine, unless something hangs."""
GO = """
const { app } = await plexusdraw;
if (decodeURIComponent(location.hash.slice(1)) === arguments[0]) return;
const changed = new Promise(done => addEventListener("hashchange", done, { once: true }));
location.hash = arguments[0];
await changed;
await app.settled;
"""
SEEN = """
const { app: { picture } } = await plexusdraw, matrix = picture.svg.getScreenCTM();
const { x, y, w, h } = picture.lens.boxOn(arguments[0]) || picture.items.find(({ id }) => id === arguments[0]).box;
return [(x + w / 2) * matrix.a + matrix.e, (y + h / 2) * matrix.d + matrix.f];
"""
SAME_CHANCE = """
let last = 0;
Math.random = () => (last = (last + 0.618033988749895) % 1);
"""
"""By day chance asks the same questions in each run, from each opening of a page on; by night any."""
ODD = "</script><b onclick=x>&lt;"
"""Names of a model that would be markup if they were not taken as text."""


class Browser:
    """One page at a time, with the calls that many tests need."""

    def __init__(self, driver: webdriver.Chrome) -> None:
        self.driver = driver

    def open(self, path: Path, address: str = "") -> Browser:
        """Open a page file afresh and wait until it is ready."""
        self.driver.get("about:blank")
        self.driver.get(path.as_uri() + (f"#{address}" if address else ""))
        self.wait("return document.documentElement.classList.contains('ready')")
        return self

    def go(self, address: str) -> None:
        """Change the part of the address after the "#"."""
        self.run(GO, address)

    def run(self, script: str, *values: object) -> Any:
        """Run a script in the page; its promise, if it gives one, is awaited."""
        return self.driver.execute_script(script, *values)

    def wait(self, condition: str) -> None:
        """Wait until a script gives something true."""
        WebDriverWait(self.driver, SECONDS, 0.02).until(lambda driver: driver.execute_script(condition))

    def size(self, width: int, height: int = 900) -> None:
        """Set the size of the window, px, and wait until what watches it has run."""
        metrics = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": False}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", metrics)
        self.run("return new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(1))))")

    def media(self, **features: str) -> None:
        """Pretend media features, such as prefers_color_scheme="dark"."""
        wanted = [{"name": name.replace("_", "-"), "value": value} for name, value in features.items()]
        self.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": wanted})

    def text(self, selector: str) -> str:
        """Text of the first element of a selector."""
        return self.run("return document.querySelector(arguments[0]).innerText", selector)

    def click(self, selector: str) -> None:
        """Click an element in the middle, as a mouse does, and wait for what follows the answer."""
        self.driver.find_element("css selector", selector).click()
        self.run("return globalThis.plexusdraw?.then(({ app }) => app.steps.done)")

    def touch(self, x: float, y: float) -> None:
        """A finger that comes and goes at a place of the screen, px: trusted, as no event of a script is."""
        self.driver.execute_cdp_cmd(
            "Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y}]}
        )
        self.driver.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})

    def seen(self, id: str) -> tuple[float, float]:
        """Where the name of a structure is seen in the picture, px."""
        x, y = self.run(SEEN, id)
        return x, y

    def log(self) -> list[str]:
        """What the browser complained of since it was last asked."""
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def requests(self) -> list[str]:
        """Addresses that were asked for since the last call."""
        found = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                found.append(message["params"]["request"]["url"])
        return found


@contextmanager
def browser() -> Iterator[Browser]:
    """A fresh Chromium that has no profile and asks nobody for updates."""
    options = webdriver.ChromeOptions()
    options.binary_location = str(shutil.which("chromium"))
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    with TemporaryDirectory() as profile:
        for flag in (*FLAGS, f"--user-data-dir={profile}"):
            options.add_argument(flag)
        driver = webdriver.Chrome(options=options, service=Service(str(shutil.which("chromedriver"))))
        driver.set_script_timeout(SECONDS)
        if not os.environ.get("NIGHTLY"):
            driver.execute_cdp_cmd("Page.addScriptToEvaluateOnNewDocument", {"source": SAME_CHANCE})
        try:
            yield Browser(driver)
        finally:
            driver.quit()
