"""Who may read and write a record: its owner alone, or a group as well; whatever the umask.

On a system or a disk without modes for files every call does what can be done, and `settle` says so.
"""

import os
import stat
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from alongside.errors import WrongInput
from alongside.record.layout import NOTES, files_of

OTHERS: Final = 0o077
SHARES: Final = stat.S_ISGID | stat.S_IRWXG
"""Of a folder in which whatever is made belongs to its group."""


@dataclass(frozen=True, slots=True)
class Access:
    """Modes of all that a record consists of. `group` is the id of the group that shares it, None where it is
    for its owner only."""

    group: int | None = None

    @property
    def folder_mode(self) -> int:
        return 0o700 if self.group is None else 0o2770

    @property
    def file_mode(self) -> int:
        return 0o600 if self.group is None else 0o660

    def make_folder(self, folder: Path) -> None:
        """Make a folder, and those above it that are not there. Raises OSError."""
        if folder.is_dir():
            return
        self.make_folder(folder.parent)
        folder.mkdir(self.folder_mode, exist_ok=True)
        folder.chmod(self.folder_mode)  # the umask may have taken some of it
        with suppress(OSError):
            self.give(folder)

    def make_file(self, path: Path) -> None:
        """Make an empty file, or see to it that the one that is there is for no other. Raises OSError."""
        flags = os.O_WRONLY | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
        with suppress(FileExistsError):
            os.close(os.open(path, flags | os.O_EXCL, self.file_mode))
            path.chmod(self.file_mode)
        with suppress(OSError):
            self.give(path)

    def give(self, path: Path) -> None:
        """Give a folder or file of a record the mode and group it should have. Raises OSError."""
        now = path.stat()
        if self.group is not None and now.st_gid != self.group:
            os.chown(path, -1, self.group)
        if self.is_wrong(path):
            kept = stat.S_IMODE(now.st_mode) & ~(OTHERS | stat.S_ISGID)  # a file closed to writing stays so
            path.chmod(kept if self.group is None else self._mode(now))

    def is_wrong(self, path: Path) -> bool:
        """Return True if a folder or file is open to others, or closed to the group that shares it."""
        now = path.stat()
        if self.group is None:
            return bool(now.st_mode & OTHERS)
        return now.st_gid != self.group or stat.S_IMODE(now.st_mode) != self._mode(now)

    def _mode(self, now: os.stat_result) -> int:
        return self.folder_mode if stat.S_ISDIR(now.st_mode) else self.file_mode


OWNER_ONLY: Final = Access()


def shared_with(group: str) -> Access:
    """Return access for a group by its name. Raises WrongInput where there is none or we are not in it."""
    try:
        import grp
    except ImportError as error:
        raise WrongInput(
            f"--shared {group}: this system has no groups, expected a record of one user"
        ) from error
    try:
        number = grp.getgrnam(group).gr_gid
    except KeyError as error:
        raise WrongInput(f"--shared {group}: no such group, expected one of {_ours(grp.getgrgid)}") from error
    if os.geteuid() != 0 and number not in {os.getegid(), *os.getgroups()}:
        raise WrongInput(
            f"--shared {group}: you are not in this group, expected one of {_ours(grp.getgrgid)}; "
            "who was put into a group must log in anew"
        )
    return Access(number)


def admitted(folder: Path, access: Access) -> Access:
    """Return the access that holds for a folder: a record that another user shares with a group stays shared.
    Raises WrongInput, with what is needed, for a folder that is closed to us or not shared with the group."""
    if access.group is not None:
        _reachable(folder)
    try:
        now = folder.stat()
    except FileNotFoundError:
        return access
    except PermissionError:
        raise WrongInput(_closed(folder.parent)) from None
    if not stat.S_ISDIR(now.st_mode):
        raise WrongInput(f"{folder}: is a file, expected a folder for the record")
    if not os.access(folder, os.R_OK | os.X_OK):
        raise WrongInput(_closed(folder))
    return access if _is_ours(now) else _of_another(folder, now, access)


def _is_ours(now: os.stat_result) -> bool:
    user: Callable[[], int] | None = getattr(os, "geteuid", None)
    return user is None or user() in (0, now.st_uid)


def _of_another(folder: Path, now: os.stat_result, access: Access) -> Access:
    """Return the access to the record of another user: what is shared stays shared."""
    shared = now.st_mode & SHARES == SHARES
    if access.group is None:
        return Access(now.st_gid) if shared else access
    if not shared or now.st_gid != access.group:
        raise WrongInput(
            f"{folder}: belongs to {_user(now.st_uid)} and is not shared with this group; needed: "
            f"{_user(now.st_uid)} starts its console once with --shared"
        )
    return access


def settle(folder: Path, access: Access) -> str:
    """Give the folder of a record and its files their modes; return what was or is the matter, "" for
    nothing. Only for whoever keeps the record. Raises WrongInput where it cannot be shared."""
    files = list(files_of(folder))
    # A folder with other things in it was made for more than a record: its own mode is not ours to narrow.
    alone = access.group is not None or len(files) == sum(path.name != NOTES for path in folder.iterdir())
    wrong = [path for path in [*([folder] if alone else []), *files] if access.is_wrong(path)]
    failed = ""
    for path in wrong:
        try:
            access.give(path)
            failed = failed or ("this disk keeps no modes" if access.is_wrong(path) else "")
        except OSError as error:
            failed = f"{path.name}: {(error.strerror or str(error)).lower()}"
    if failed and access.group is not None:
        raise WrongInput(f"{folder}: cannot be shared ({failed}), expected files that belong to you")
    if failed:
        return f"Other users may be able to read the record ({failed})"
    was_open = access.group is None and any(path != folder for path in wrong)
    return "The record was open to other users; it is for its owner only now" if was_open else ""


def _reachable(folder: Path) -> None:
    """Raise WrongInput for a folder below one that is closed to all but its owner."""
    for parent in folder.absolute().parents:
        if parent.exists() and not parent.stat().st_mode & (stat.S_IXGRP | stat.S_IXOTH):
            raise WrongInput(
                f"--shared: {parent} is closed to all but its owner, expected a folder that the group can "
                "reach: name one with --record"
            )


def _closed(folder: Path) -> str:
    whose = _user(folder.stat().st_uid)
    return (
        f"{folder}: belongs to {whose} and is closed to other users; expected a folder of yours, or that "
        f"{whose} starts its console with --shared GROUP"
    )


def _user(number: int) -> str:
    """Return a user by name, by number where it has none."""
    try:
        import pwd

        return pwd.getpwuid(number).pw_name
    except (ImportError, KeyError):
        return f"user {number}"


def _ours(groups: Callable[[int], Any]) -> str:
    names = []
    for number in sorted({os.getegid(), *os.getgroups()}):
        with suppress(KeyError):
            names.append(groups(number).gr_name)
    return ", ".join(names)
