"""A real browser without a screen, and a trap in place of the network: whatever it asks for ends there and is
counted."""

import shutil
import socket
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome")
QUIET = (
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-dev-shm-usage",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-default-apps",
    "--disable-domain-reliability",
    "--disable-extensions",
    "--disable-sync",
    "--no-first-run",
    "--no-pings",
    "--disable-features=OptimizationHints,MediaRouter,NetworkTimeServiceQuerying",
)
"""Without a screen, and without most of what the browser itself would like to tell or ask its maker."""
MAKERS = ("google.com", "googleapis.com", "gvt1.com")
"""Hosts that the browser asks for on its own account, whatever page is open."""


def find_browser() -> str | None:
    """Path of a browser of the Chromium family; None where none is installed."""
    return next((found for name in NAMES if (found := shutil.which(name))), None)


@dataclass
class Trap:
    """A proxy that answers nothing. `asked` are the first lines of what came."""

    port: int
    asked: list[str] = field(default_factory=list)

    @property
    def by_page(self) -> list[str]:
        """What a page asked for: a browser also opens connections of its own and says nothing on them."""
        return [line for line in self.asked if line and not any(host in line for host in MAKERS)]


@contextmanager
def trap() -> Iterator[Trap]:
    with socket.create_server(("127.0.0.1", 0)) as server:
        caught = Trap(server.getsockname()[1])
        thread = threading.Thread(target=_catch, args=(server, caught), daemon=True)
        thread.start()
        yield caught
        server.shutdown(socket.SHUT_RDWR)
    thread.join(5.0)


def _catch(server: socket.socket, caught: Trap) -> None:
    while True:
        try:
            one, _ = server.accept()
        except OSError:
            return
        with one:
            one.settimeout(2.0)
            try:
                caught.asked.append(one.recv(4096).split(b"\r\n")[0].decode("latin-1"))
            except OSError as error:
                caught.asked.append(repr(error))


def dom(browser: str, page: Path, port: int, profile: Path) -> str:
    """The page as the browser has it once it is loaded, all requests sent to a trap."""
    done = subprocess.run(
        [
            browser,
            *QUIET,
            f"--proxy-server=127.0.0.1:{port}",
            "--proxy-bypass-list=<-loopback>",
            f"--user-data-dir={profile}",
            "--window-size=1200,900",
            "--dump-dom",
            page.as_uri(),
        ],
        capture_output=True,
        text=True,
        timeout=120,
        check=True,
    )
    return done.stdout


def printed(browser: str, page: Path, port: int, profile: Path, out: Path) -> bytes:
    """The page as the browser prints it: a PDF."""
    subprocess.run(
        [
            browser,
            *QUIET,
            f"--proxy-server=127.0.0.1:{port}",
            f"--user-data-dir={profile}",
            "--no-pdf-header-footer",
            f"--print-to-pdf={out}",
            page.as_uri(),
        ],
        capture_output=True,
        timeout=120,
        check=True,
    )
    return out.read_bytes()
