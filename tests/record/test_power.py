"""The power fails at random instants: what had been shown is on the disk, and the watch goes on from there.

The console runs on a file system in an image. Of what is written there the image holds only what the kernel
was made to write out; a copy of it, mounted anew, is the disk after the failure. A file that nobody insisted
on shows each time that such things are lost.
"""

import json
import os
import random
import select
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest

from tests.record.powered import after_the_power_came_back, disk, may_make
from tests.record.test_kill import check_all_there

pytestmark = pytest.mark.skipif(not may_make(), reason="needs root, loop devices and ext4")
FAILURES = 12


def lines_so_far(out: int, pending: bytearray) -> list[dict[str, Any]]:
    """What the console has said up to now."""
    while select.select([out], [], [], 0.0)[0]:
        pending += os.read(out, 1 << 16)
    said, _, rest = bytes(pending).rpartition(b"\n")
    pending[:] = rest
    return [json.loads(line) for line in said.split(b"\n") if line]


@pytest.mark.slow
def test_nothing_shown_is_lost_when_the_power_fails(tmp_path: Path) -> None:
    chance = random.Random(6)
    shown: list[dict[str, Any]] = []
    pending = bytearray()
    with disk(tmp_path) as (image, place):
        record = place / "record"
        command = [sys.executable, "-m", "tests.record.under_load", tmp_path, record, "0"]
        console = subprocess.Popen(command, stdout=subprocess.PIPE)
        assert console.stdout is not None
        try:
            for count in range(FAILURES):
                time.sleep(chance.uniform(0.3, 0.8))
                # A new one each time: one that is cut off and written again ext4 writes out at once.
                unsaved = place / f"unsaved-{count}"
                unsaved.write_text(f"nobody insisted on this, time {count}")
                console.send_signal(signal.SIGSTOP)
                shown += lines_so_far(console.stdout.fileno(), pending)
                with after_the_power_came_back(image, tmp_path / "copy.img") as found:
                    left = found / unsaved.name
                    assert not left.exists() or left.read_text() != unsaved.read_text()
                    check_all_there(tmp_path, found / "record", 5000.0 + count, shown)
                console.send_signal(signal.SIGCONT)
        finally:
            console.kill()
            console.communicate()
    assert len(shown) > FAILURES, "it showed something between one failure and the next"
