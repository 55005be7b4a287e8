"""A real browser without a screen, driven over a pipe by its own protocol: no library, no port."""

import fcntl
import json
import os
import select
import subprocess
import time
from base64 import b64decode
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from tests.reports.stay.browser import QUIET

TAKES_S: Final = 60.0


class Tab:
    """One page of the browser."""

    def __init__(self, into: int, out: int) -> None:
        self._into, self._out = into, out
        self._rest = b""
        self._count = 0
        self._session: str | None = None
        self.asked: list[str] = []
        """Addresses of all requests."""
        self.said: list[str] = []
        """What went wrong in the page, among it what its policy refused."""
        target = self.call("Target.createTarget", url="about:blank")["targetId"]
        self._session = self.call("Target.attachToTarget", targetId=target, flatten=True)["sessionId"]
        for domain in ("Page", "Runtime", "Network", "Log"):
            self.call(f"{domain}.enable")

    def call(self, method: str, **params: Any) -> dict[str, Any]:
        """Return what the browser answers to one call of its protocol."""
        self._count += 1
        message = {"id": self._count, "method": method, "params": params}
        if self._session is not None:
            message["sessionId"] = self._session
        os.write(self._into, json.dumps(message).encode() + b"\0")
        until = time.monotonic() + TAKES_S
        while time.monotonic() < until:
            for got in self._messages(until - time.monotonic()):
                self._note(got)
                if got.get("id") == self._count:
                    assert "error" not in got, got["error"]
                    answer: dict[str, Any] = got["result"]
                    return answer
        raise TimeoutError(method)

    def _messages(self, wait: float) -> list[dict[str, Any]]:
        if b"\0" not in self._rest and select.select([self._out], [], [], max(wait, 0.0))[0]:
            self._rest += os.read(self._out, 1 << 20)
        *whole, self._rest = self._rest.split(b"\0")
        return [json.loads(each) for each in whole]

    def _note(self, got: dict[str, Any]) -> None:
        params = got.get("params", {})
        match got.get("method"):
            case "Network.requestWillBeSent":
                self.asked.append(params["request"]["url"])
            case "Runtime.exceptionThrown":
                self.said.append(json.dumps(params["exceptionDetails"]))
            case "Runtime.consoleAPICalled" if params["type"] in ("error", "assert"):
                self.said.append(json.dumps(params["args"]))
            case "Log.entryAdded" if params["entry"]["level"] == "error":
                self.said.append(params["entry"]["text"])

    def size(self, width: int, height: int, *, phone: bool) -> None:
        """Give the page the size of a screen."""
        self.call(
            "Emulation.setDeviceMetricsOverride", width=width, height=height, mobile=phone,
            deviceScaleFactor=2 if phone else 1,
        )  # fmt: skip

    def dark(self, on: bool) -> None:
        """Let the device ask for dark colours."""
        features = [{"name": "prefers-color-scheme", "value": "dark" if on else "light"}]
        self.call("Emulation.setEmulatedMedia", features=features)

    def open(self, address: str) -> None:
        """Open an address, and forget what was asked for before; return when all of it is there."""
        self.asked.clear()
        self.said.clear()
        self.call("Page.navigate", url=address)
        self.wait("document.readyState === 'complete'")

    def value(self, script: str) -> Any:
        """Return what a script gives in the page."""
        got = self.call("Runtime.evaluate", expression=script, returnByValue=True, awaitPromise=True)
        assert "exceptionDetails" not in got, got
        return got["result"].get("value")

    def wait(self, script: str, seconds: float = 20.0) -> float:
        """Wait until a script gives true; return how long that took, s."""
        begin = time.monotonic()
        while not self.value(script):
            assert time.monotonic() - begin < seconds, f"{script} after {seconds} s: {self.value(BODY)}"
            time.sleep(0.1)
        return time.monotonic() - begin

    def shot(self, path: Path, *, whole: bool = True) -> None:
        """Write a picture of the page."""
        got = self.call("Page.captureScreenshot", format="png", captureBeyondViewport=whole)
        path.write_bytes(b64decode(got["data"]))


BODY: Final = "document.body.innerText"


@contextmanager
def tab(browser: str, profile: Path, *flags: str) -> Iterator[Tab]:
    """Run a browser with one page; its own requests go nowhere."""
    (to_read, into), (out, to_write) = os.pipe(), os.pipe()
    theirs = [fcntl.fcntl(end, fcntl.F_DUPFD, 10) for end in (to_read, to_write)]

    def as_it_looks_for_them() -> None:
        os.dup2(theirs[0], 3)
        os.dup2(theirs[1], 4)

    command = [
        browser,
        *QUIET,
        "--remote-debugging-pipe",
        f"--user-data-dir={profile}",
        *flags,
        "about:blank",
    ]
    running = subprocess.Popen(
        command, pass_fds=(3, 4), preexec_fn=as_it_looks_for_them,
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL,
    )  # fmt: skip
    for end in (to_read, to_write, *theirs):
        os.close(end)
    try:
        yield Tab(into, out)
    finally:
        os.close(into)  # it ends with its pipe
        try:
            running.wait(10.0)
        except subprocess.TimeoutExpired:
            running.kill()
            running.wait()
        os.close(out)
