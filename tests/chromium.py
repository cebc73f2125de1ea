"""A headless Chromium for the tests of pages, and what it says of a page.

Where there is none the tests are skipped; with NEEDS_CHROMIUM set, as the gate sets it, they fail instead.
"""

import base64
import json
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from selenium import webdriver
from selenium.webdriver.chrome.service import Service

FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-component-update",
    "--disable-background-networking", "--disable-sync",
)  # fmt: skip


class Page:
    """One open page."""

    def __init__(self, driver: webdriver.Chrome) -> None:
        self.driver = driver

    def open(self, path: Path, hash_: str = "") -> "Page":
        self.driver.get("about:blank")
        self.logs()
        self.requests()
        self.driver.get(path.as_uri() + hash_)
        self.settle()
        return self

    def size(self, width: int, height: int) -> "Page":
        """The window in CSS pixels; a narrow one is a phone's."""
        said = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": width < 500}
        self.driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", said)
        return self

    def media(self, **features: str) -> "Page":
        """Media features by their names, '_' for '-'; 'media' is the medium."""
        medium = features.pop("media", "")
        said = [{"name": name.replace("_", "-"), "value": value} for name, value in features.items()]
        self.driver.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": medium, "features": said})
        return self

    def ask(self, script: str, *arguments: object) -> Any:
        """What an expression gives."""
        return self.driver.execute_script(f"return ({script})", *arguments)

    def settle(self) -> None:
        """Waits until what was asked for is on the screen."""
        self.driver.execute_async_script(
            "const done = arguments[0]; requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(done, 30)))"
        )

    def press(self, *keys: str) -> None:
        """Keys to whatever has the focus."""
        webdriver.ActionChains(self.driver).send_keys(*keys).perform()
        self.settle()

    def click(self, selector: str) -> None:
        self.driver.find_element("css selector", selector).click()
        self.settle()

    def text(self, selector: str) -> str:
        """The text as it is shown."""
        return str(self.driver.find_element("css selector", selector).text)

    def logs(self) -> list[str]:
        """What the console said since the last time."""
        return [entry["message"] for entry in self.driver.get_log("browser")]

    def requests(self) -> list[str]:
        """The addresses asked for since the last time, but for those of the blank page."""
        found = []
        for entry in self.driver.get_log("performance"):
            message = json.loads(entry["message"])["message"]
            if message["method"] == "Network.requestWillBeSent":
                found.append(message["params"]["request"]["url"])
        return [address for address in found if address != "about:blank"]

    def pdf(self) -> bytes:
        return base64.b64decode(self.driver.execute_cdp_cmd("Page.printToPDF", {})["data"])

    def seconds(self) -> float:
        """Processor time that the page took so far; another program on the machine does not count."""
        said = self.driver.execute_cdp_cmd("Performance.getMetrics", {})["metrics"]
        return next(float(m["value"]) for m in said if m["name"] == "TaskDuration")


@contextmanager
def chromium(folder: Path) -> Iterator[Page]:
    """A browser with a profile of its own in `folder`."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    helper = shutil.which("chromedriver")
    if program is None or helper is None:
        if os.environ.get("NEEDS_CHROMIUM"):
            pytest.fail("NEEDS_CHROMIUM is set, and chromium or chromedriver is not installed")
        pytest.skip("chromium and chromedriver are not installed")
    options = webdriver.ChromeOptions()
    options.binary_location = program
    for flag in (*FLAGS, f"--user-data-dir={folder}"):
        options.add_argument(flag)
    options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
    service = Service(helper)
    driver = webdriver.Chrome(options=options, service=service)
    try:
        driver.set_script_timeout(60)
        driver.execute_cdp_cmd("Performance.enable", {"timeDomain": "threadTicks"})
        yield Page(driver)
    finally:
        driver.quit()
