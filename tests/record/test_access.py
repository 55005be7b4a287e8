"""For whom a record is: its owner alone, or a group as well, tried by other users in their own processes."""

import grp
import os
import stat
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Final

import pytest

from alongside.actions import Note
from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.record.access import OWNER_ONLY, Access, shared_with
from alongside.record.layout import NOW, journal_of
from alongside.record.reader import RecordReader
from alongside.runtime.live import LiveDesk
from alongside.stay.read import read_stay
from tests.record.kept import Watch, flood_stay

SOMEBODY: Final = 54321
OTHER: Final = 54322
"""Users without a name, of no group but those that a test puts them into."""
GROUP: Final = next(each for each in grp.getgrall() if each.gr_gid not in (0, *os.getgroups()))
as_root = pytest.mark.skipif(os.geteuid() != 0, reason="only root can be somebody else")


@contextmanager
def umask(bits: int) -> Iterator[None]:
    before = os.umask(bits)
    try:
        yield
    finally:
        os.umask(before)


def modes(folder: Path) -> dict[str, int]:
    return {path.name: stat.S_IMODE(path.stat().st_mode) for path in [folder, *folder.iterdir()]}


class SharedWatch(Watch):
    """A watch whose record is shared with a group."""

    def __init__(self, folder: Path, record: Path, access: Access, second: float = 0.0) -> None:
        stay = read_stay(folder / "stay.yaml")
        self.second, self.ahead, self.pictures = second + 0.5, 0.0, []
        self.desk = LiveDesk(stay, record, wall=self.wall, access=access)
        self.desk.deliver_to(self.pictures.append)
        self.second = second


def by(user: int, groups: list[int], code: str, *arguments: object) -> str:
    """What Python says that another user runs. Modules may be closed to it, some are imported at their first
    use only: so a watch is run before, as root."""
    imports = (
        "import os, sys\nfrom pathlib import Path\nfrom alongside.errors import AlongsideError\n"
        "from alongside.record.access import *\nfrom alongside.record.lock import is_held\n"
        "from alongside.record.reader import RecordReader\nfrom alongside.stay.read import read_stay\n"
        "from alongside.actions import Note\nfrom tests.record.kept import *\n"
        "from tests.record.test_access import *\n"
        "import encodings.utf_8_sig, _strptime, tempfile\n"
        "before = Path(tempfile.mkdtemp())\nfirst = Watch(flood_stay(before), before / 'record')\n"
        "first.run(3, {1: Note('x')})\nfirst.end()\nRecordReader(before / 'record').close()\n"
    )
    become = f"os.setgroups({groups}); os.setgid({user}); os.setuid({user}); os.umask(0o022)\n"
    script = f"{imports}{become}place = Path(sys.argv[1])\nrecord = place / 'record'\n{code}"
    command = [sys.executable, "-c", script, *map(str, arguments)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout.strip()


@pytest.fixture
def place() -> Iterator[Path]:
    """A folder that every user can reach and write to. Not below pytest's own, which each run closes to other
    users anew."""
    with tempfile.TemporaryDirectory() as folder:
        Path(folder).chmod(0o777)
        yield Path(folder)


@pytest.mark.slow
@pytest.mark.parametrize("bits", [0, 0o022, 0o277])
def test_a_record_is_for_its_owner_alone_whatever_the_umask(tmp_path: Path, bits: int) -> None:
    folder = tmp_path / "not" / "there" / "record"
    with umask(bits):
        watch = Watch(flood_stay(tmp_path), folder, 3595.0).run(10)
        during = modes(folder)
        watch.run(5).end()
        again = Watch(flood_stay(tmp_path), folder, 3700.0).run(3)
        after = modes(folder)
        again.kill()
    assert {"journal.sqlite-wal", "journal.sqlite-shm", "lock", "lock-holder", *NOW} <= set(during)
    assert any(name.endswith(".log.gz") for name in after)
    for seen in (during, after):
        assert seen.pop("record") == 0o700
        assert set(seen.values()) == {0o600}, seen
    assert stat.S_IMODE(folder.parent.stat().st_mode) == 0o700, "what was made on the way as well"


def test_the_copy_of_a_feed_log_that_is_being_compressed_is_closed_too(tmp_path: Path) -> None:
    from alongside.record import feedfiles

    with umask(0):
        log = tmp_path / "feeds-20260302T04Z-00.log"
        log.write_bytes(b"x" * (feedfiles.PIECE + 1))
        packing = feedfiles._Packing(log, OWNER_ONLY)
        packing.piece()
        assert modes(tmp_path)["feeds-20260302T04Z-00.log.gz.part"] == 0o600
        packing.give_up()


def test_a_record_that_was_open_is_closed_and_a_note_says_so(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    Watch(flood_stay(tmp_path), folder).run(5).end()
    for path in (folder, *folder.iterdir()):
        path.chmod(0o755 if path.is_dir() else 0o644)
    watch = Watch(flood_stay(tmp_path), folder, 30.0).run(2)
    seen = modes(folder)
    assert (seen.pop("record"), set(seen.values())) == (0o700, {0o600})
    notes = [event.text for event in watch.last.log]
    assert notes.count("The record was open to other users; it is for its owner only now") == 1
    watch.end()
    again = Watch(flood_stay(tmp_path), folder, 60.0).run(2)
    assert [event.text for event in again.last.log].count(notes[-1]) <= 1, "said once"
    again.end()


def test_a_folder_with_other_things_in_it_keeps_its_mode(tmp_path: Path) -> None:
    folder = tmp_path / "papers"
    folder.mkdir()
    folder.chmod(0o755)
    (folder / "letter").write_text("mine")
    (folder / "letter").chmod(0o644)
    watch = Watch(flood_stay(tmp_path), folder).run(3)
    seen = modes(folder)
    assert (seen.pop("papers"), seen.pop("letter")) == (0o755, 0o644)
    assert set(seen.values()) == {0o600}
    watch.end()


def test_a_group_that_is_not_there_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    stay = flood_stay(tmp_path).file
    assert main(["watch", stay, "--shared", "no-such-group"]) == 2
    said = capsys.readouterr().err
    assert "--shared no-such-group: no such group, expected one of " in said
    assert main(["watch", stay, "--shared", "x", "--no-record"]) == 2
    assert "there is no record to share" in capsys.readouterr().err


@pytest.mark.slow
@as_root
def test_a_group_that_we_are_not_in_is_said(place: Path) -> None:
    ask = (
        f"try: shared_with({GROUP.gr_name!r}); print('shared')\nexcept AlongsideError as error: print(error)"
    )
    said = by(SOMEBODY, [], ask, place)
    assert f"--shared {GROUP.gr_name}: you are not in this group" in said
    assert "log in anew" in said
    assert by(SOMEBODY, [GROUP.gr_gid], ask, place) == "shared"


KEEP: Final = (
    "watch = SharedWatch(place, record, {access}, {second}).run(3, {{{note}: Note('by {who}')}}); {end}"
)


def keep(user: int, access: str, second: int, place: Path, end: str = "watch.end()") -> str:
    code = KEEP.format(access=access, second=second, note=second + 2, who=user, end=end)
    return by(user, [GROUP.gr_gid], f"try:\n {code}\nexcept AlongsideError as error: print(error)", place)


def texts(folder: Path) -> list[str]:
    with RecordReader(folder) as record:
        return [event.text for _, event in record.events()]


@pytest.mark.slow
@as_root
@pytest.mark.parametrize("bits", [0, 0o077])
def test_a_shared_record_is_open_to_its_group_alone(place: Path, bits: int) -> None:
    record = place / "record"
    flood_stay(place)
    with umask(bits):
        watch = SharedWatch(place, record, shared_with(GROUP.gr_name)).run(3, {2: Note("mine")})
    seen = modes(record)
    assert {path.stat().st_gid for path in [record, *record.iterdir()]} == {GROUP.gr_gid}
    assert "journal.sqlite-wal" in seen
    assert (seen.pop("record"), set(seen.values())) == (0o2770, {0o660})
    look = (
        "try:\n with RecordReader(record) as kept: print(list(kept.events())[-1][1].text, is_held(record))\n"
        "except OSError as error: print(type(error).__name__, error)"
    )
    assert by(OTHER, [GROUP.gr_gid], look, place) == "mine True"
    assert by(OTHER, [], look, place).startswith("PermissionError")
    assert "another console keeps the watch" in keep(OTHER, "OWNER_ONLY", 10, place)
    seen = modes(record)
    assert (seen.pop("record"), set(seen.values())) == (0o2770, {0o660}), "looking changed no mode"
    watch.end()


@pytest.mark.slow
@as_root
def test_two_users_of_a_group_keep_one_record_in_turn(place: Path) -> None:
    record, shared = place / "record", f"shared_with({GROUP.gr_name!r})"
    flood_stay(place)
    assert keep(SOMEBODY, shared, 0, place, "watch.kill()") == ""
    assert keep(OTHER, shared, 3600, place) == ""
    assert keep(SOMEBODY, shared, 7200, place) == ""
    assert keep(OTHER, "OWNER_ONLY", 10800, place) == "", "what another user shares stays shared"
    assert keep(SOMEBODY, shared, 14400, place) == ""
    said = [text for text in texts(record) if text.startswith("by ")]
    assert said == [f"by {user}" for user in (SOMEBODY, OTHER, SOMEBODY, OTHER, SOMEBODY)]
    assert not [text for text in texts(record) if "NOT ON RECORD" in text]
    seen = modes(record)
    assert (seen.pop("record"), set(seen.values())) == (0o2770, {0o660})
    assert len(list(record.glob("feeds-*"))) == 5, "each could go on where the other had ended"


@pytest.mark.slow
@as_root
def test_the_record_of_another_user_says_what_is_needed(place: Path) -> None:
    flood_stay(place)
    assert keep(SOMEBODY, "OWNER_ONLY", 0, place) == ""
    closed = keep(OTHER, "OWNER_ONLY", 10, place)
    assert f"belongs to user {SOMEBODY} and is closed to other users" in closed
    assert "--shared GROUP" in closed
    (place / "record").chmod(0o755)
    other = keep(OTHER, f"shared_with({GROUP.gr_name!r})", 20, place)
    assert "is not shared with this group; needed: " in other
    assert f"user {SOMEBODY} starts its console once with --shared" in other
    assert keep(SOMEBODY, f"shared_with({GROUP.gr_name!r})", 30, place) == "", "what was said is enough"
    assert keep(OTHER, f"shared_with({GROUP.gr_name!r})", 40, place) == ""


@as_root
def test_a_shared_record_that_its_group_cannot_reach_is_refused(place: Path) -> None:
    home = place / "home"
    home.mkdir(mode=0o700)
    flood_stay(place)
    with pytest.raises(WrongInput, match=r"closed to all but its owner.*name one with --record"):
        SharedWatch(place, home / "record", shared_with(GROUP.gr_name))
    assert not journal_of(home / "record").exists()


@as_root
def test_without_the_option_a_record_of_ours_is_shared_no_more(place: Path) -> None:
    record = place / "record"
    flood_stay(place)
    SharedWatch(place, record, shared_with(GROUP.gr_name)).run(2).end()
    watch = Watch(read_stay(place / "stay.yaml"), record, 30.0).run(2)
    seen = modes(record)
    assert (seen.pop("record"), set(seen.values())) == (0o700, {0o600})
    watch.end()
