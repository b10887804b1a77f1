"""A headless Chromium driven over its own debugging protocol, on loopback, for looking at pages as a reader would."""

from __future__ import annotations

import base64
import contextlib
import json
import shutil
import subprocess
import time
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from websockets.sync.client import ClientConnection, connect

NAMES = ("chromium", "chromium-browser", "google-chrome", "chrome")
DEADLINE = 60.0


def chromium() -> str | None:
    """The path of a Chromium, or None."""
    return next((path for name in NAMES if (path := shutil.which(name))), None)


@dataclass
class Tab:
    """One tab. requested: every address that the page asked for since it was opened."""

    socket: ClientConnection
    requested: list[str] = field(default_factory=list)
    events: list[dict[str, Any]] = field(default_factory=list)
    number: int = 0

    def call(self, method: str, **parameters: Any) -> dict[str, Any]:
        """Call a method of the protocol and wait for its result."""
        self.number += 1
        self.socket.send(json.dumps({"id": self.number, "method": method, "params": parameters}))
        while True:
            message = self._next()
            if message.get("id") == self.number:
                if "error" in message:
                    raise RuntimeError(f"{method}: {message['error']}")
                result: dict[str, Any] = message["result"]
                return result

    def until(self, event: str) -> None:
        """Wait for an event."""
        while not any(e["method"] == event for e in self.events):
            self._next()

    def _next(self) -> dict[str, Any]:
        message: dict[str, Any] = json.loads(self.socket.recv(timeout=DEADLINE))
        if "method" in message:
            self.events.append(message)
            if message["method"] == "Network.requestWillBeSent":
                self.requested.append(message["params"]["request"]["url"])
        return message

    def open(self, page: Path, width: int, height: int) -> float:
        """Open a file in a window of that size; returns the seconds until its load event (its own clock)."""
        for domain in ("Page", "Network", "Runtime"):
            self.call(f"{domain}.enable")
        self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=width < 600
        )
        self.call("Page.navigate", url=page.as_uri())
        self.until("Page.loadEventFired")
        timing = "performance.getEntriesByType('navigation')[0]"
        return float(self.evaluate(f"{timing}.loadEventStart - {timing}.startTime")) / 1000

    def evaluate(self, expression: str) -> Any:
        """The value of an expression in the page."""
        return self.call("Runtime.evaluate", expression=expression, returnByValue=True)["result"].get("value")

    def picture(self, target: Path) -> None:
        """A picture of the whole page as PNG."""
        found = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=True)
        target.write_bytes(base64.b64decode(found["data"]))

    def printed(self, target: Path) -> None:
        """The page printed to PDF on A4."""
        found = self.call("Page.printToPDF", paperWidth=8.27, paperHeight=11.69, preferCSSPageSize=True)
        target.write_bytes(base64.b64decode(found["data"]))


@contextlib.contextmanager
def browser(program: str, folder: Path) -> Iterator[Tab]:
    """Start a Chromium with a fresh profile in a folder, give its first tab, and end it."""
    folder.mkdir(parents=True, exist_ok=True)
    process = subprocess.Popen(
        [
            program, "--headless=new", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage", "--no-first-run",
            "--disable-extensions", "--disable-background-networking", "--remote-debugging-port=0",
            f"--user-data-dir={folder}", "about:blank",
        ],
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )  # fmt: skip
    try:
        port_file = folder / "DevToolsActivePort"
        deadline = time.monotonic() + DEADLINE
        while not (port_file.is_file() and port_file.read_text().count("\n") >= 1):
            if process.poll() is not None or time.monotonic() > deadline:
                raise RuntimeError("Chromium did not start")
            time.sleep(0.05)
        port, path = port_file.read_text().splitlines()[:2]
        with connect(f"ws://127.0.0.1:{port}{path}", max_size=None, open_timeout=DEADLINE) as root:
            whole = Tab(root)
            target = whole.call("Target.createTarget", url="about:blank")["targetId"]
            with connect(
                f"ws://127.0.0.1:{port}/devtools/page/{target}", max_size=None, open_timeout=DEADLINE
            ) as socket:
                yield Tab(socket)
    finally:
        process.terminate()
        try:
            process.wait(timeout=10)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait(timeout=10)
