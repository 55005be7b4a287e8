"""One console keeps a record: the lock is its owner's alone, and goes with its process."""

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from alongside.record.faults import RecordInUse
from alongside.record.layout import HOLDER, LOCK, NOW
from alongside.record.lock import Lock, is_held
from tests.record.kept import Watch, flood_stay

NOBODY = 65534
as_root = pytest.mark.skipif(os.geteuid() != 0, reason="only root can be somebody else")


def test_only_one_can_keep_a_record_and_the_lock_dies_with_its_process(tmp_path: Path) -> None:
    holds = (
        "import sys, time; from pathlib import Path; from alongside.record.lock import Lock;"
        "lock = Lock(Path(sys.argv[1])); print('held', flush=True); time.sleep(60)"
    )
    other = subprocess.Popen([sys.executable, "-c", holds, tmp_path], stdout=subprocess.PIPE)
    assert other.stdout is not None
    assert other.stdout.readline() == b"held\n"
    assert is_held(tmp_path)
    with pytest.raises(RecordInUse, match=f"process {other.pid}"):
        Lock(tmp_path)
    with pytest.raises(RecordInUse):
        Watch(flood_stay(tmp_path), tmp_path)
    other.send_signal(signal.SIGKILL)
    other.communicate()
    assert not is_held(tmp_path)
    Lock(tmp_path).release()


def test_asking_does_not_take_it_and_two_locks_of_one_process_are_two(tmp_path: Path) -> None:
    assert not is_held(tmp_path)
    assert not (tmp_path / LOCK).exists(), "asking leaves no trace"
    lock = Lock(tmp_path)
    assert (tmp_path / HOLDER).read_text() == f"process {os.getpid()}\n"
    assert is_held(tmp_path)
    assert is_held(tmp_path)
    with pytest.raises(RecordInUse):
        Lock(tmp_path)
    assert lock.is_in_place()
    lock.release()
    lock.release()
    assert not is_held(tmp_path)


def test_one_that_was_taken_away_is_not_in_place(tmp_path: Path) -> None:
    lock = Lock(tmp_path)
    (tmp_path / LOCK).unlink()
    assert not lock.is_in_place()
    other = Lock(tmp_path)
    assert other.is_in_place()
    assert not lock.is_in_place()
    lock.release()
    other.release()


@pytest.mark.parametrize("before", [None, 0o644, 0o666])
def test_nobody_else_may_open_it(tmp_path: Path, before: int | None) -> None:
    if before is not None:
        (tmp_path / LOCK).write_text("process 1\n")
        (tmp_path / LOCK).chmod(before)
    umask = os.umask(0)
    try:
        lock = Lock(tmp_path)
    finally:
        os.umask(umask)
    assert (tmp_path / LOCK).stat().st_mode & 0o777 == 0o600
    lock.release()


def as_nobody(code: str, folder: Path) -> str:
    for place in (folder, *folder.parents):
        if place.owner() == "root" and str(place).startswith("/tmp/"):
            place.chmod(0o755)
    become = f"import os; os.setgroups([]); os.setgid({NOBODY}); os.setuid({NOBODY})\n"
    imports = "import sys, fcntl; from pathlib import Path; from alongside.record.lock import Lock, is_held\n"
    command = [sys.executable, "-c", imports + become + code, folder]  # its Python may be closed to nobody
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout.strip()


@as_root
def test_another_user_can_neither_hold_it_nor_keep_the_watch_beside_us(tmp_path: Path) -> None:
    hold = (
        "try:\n fcntl.flock(os.open(sys.argv[1] + '/lock', os.O_RDONLY), fcntl.LOCK_EX | fcntl.LOCK_NB)\n"
        " print('held')\n"
        "except OSError as error: print(type(error).__name__)"
    )
    keep = (
        "try: Lock(Path(sys.argv[1])); print('kept')\n"
        "except Exception as error: print(type(error).__name__, is_held(Path(sys.argv[1])))"
    )
    Lock(tmp_path).release()
    assert as_nobody(hold, tmp_path) == "PermissionError"
    watch = Watch(flood_stay(tmp_path), tmp_path).run(2)
    assert as_nobody(hold, tmp_path) == "PermissionError"
    assert as_nobody(keep, tmp_path) == "RecordInUse True"
    watch.kill()
    for name in NOW:
        os.utime(tmp_path / name, (0.0, 0.0))
    assert as_nobody(keep, tmp_path) == "PermissionError False", "nobody keeps it: a watch without record"


WITHOUT_POSIX = """
import sys

class Hidden:
    def find_spec(self, name, path=None, target=None):
        if name in ("fcntl", "termios", "tty", "pty", "pwd", "grp", "resource"):
            raise ModuleNotFoundError(name)

sys.meta_path.insert(0, Hidden())
for name in ("fcntl", "termios", "tty", "pwd", "grp"):
    sys.modules.pop(name, None)
import os
for name in ("pwrite", "pread", "posix_fallocate", "fork", "geteuid"):
    delattr(os, name)
import warnings
warnings.simplefilter("ignore")
from pathlib import Path
from alongside.record.faults import RecordInUse
from tests.record.kept import Watch, flood_stay

folder = Path(sys.argv[1])
watch = Watch(flood_stay(folder), folder / "record").run(3)
assert watch.desk._recorder.unrecorded == "", watch.desk._recorder.unrecorded
try:
    Watch(flood_stay(folder), folder / "record")
    raise SystemExit("a second one kept it too")
except RecordInUse:
    pass
watch.desk._feeds[0]._session()
print(watch.desk._feeds[0].status.note)
watch.end()
assert Watch(flood_stay(folder), folder / "record", 60.0).run(2).last.log[-1].event == "gap"
from alongside.cli.main import main
raise SystemExit(main(["demo"]))
"""


@pytest.mark.slow
def test_without_posix_a_watch_keeps_its_record_alone_and_the_demo_plays(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-c", WITHOUT_POSIX, tmp_path], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr[-2000:]
    first, *lines = done.stdout.splitlines()
    assert "tried again in 1 s" in first, "the serial port says so, and the watch goes on"
    assert len(lines) > 50
