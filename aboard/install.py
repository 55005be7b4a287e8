"""Install alongside, or a newer version of it, from the folder that this file stands in, without a network.

    python3 FOLDER/install.py [PLACE]

Every file is held against the list of the folder while it is copied: of a folder that came over in part
nothing is installed. A version is put beside the one before, in PLACE/versions, and tried there; only then
PLACE/bin/alongside leads to it, in one step. Until then, and after any failure, what was there goes on.
"""

import argparse
import hashlib
import os
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path
from shlex import quote

LIST = "contents.txt"
TRIAL = "import numpy, serial, yaml, alongside.runtime.live, alongside.screens.run"
OLDEST = (3, 11)


class NotInstalled(Exception):
    """Why nothing was installed, and what to do."""


def main() -> int:
    about = "Install alongside, or a newer version of it, from the folder that this file stands in."
    parser = argparse.ArgumentParser(description=about)
    place = Path.home() / "alongside"
    parser.add_argument("place", nargs="?", type=Path, default=place, help=f"where to (default: {place})")
    place = parser.parse_args().place.absolute()
    try:
        if sys.version_info < OLDEST:
            raise NotInstalled(
                f"this is Python {sys.version.split()[0]}, expected 3.11 or newer: install that first"
            )
        if (place / "pyvenv.cfg").exists():
            raise NotInstalled(f"{place} is an environment of Python: name another place")
        with tempfile.TemporaryDirectory(prefix="alongside-") as copy:
            said = copied(Path(__file__).absolute().parent, Path(copy))
            version = installed(place, Path(copy) / said["program"], said)
        switch(place, version)
    except NotInstalled as error:
        print(f"nothing was changed: {error}", file=sys.stderr)
        return 2
    except OSError as error:
        print(f"nothing was changed: {error.filename or ''}: {error.strerror or error}", file=sys.stderr)
        return 4
    report(place, version)
    return 0


def copied(folder: Path, to: Path) -> "dict[str, str]":  # quoted for Pythons that are too old to know it
    """Copy what the list names, each file as the list knows it. Return what the list says of the folder: the
    wheel of the `program`, the `system` and `Python` that it is for, the extra that it is `with`."""
    again = "copy the folder once more, or make it anew"
    try:
        text = (folder / LIST).read_text(encoding="utf-8")
    except (OSError, ValueError):
        raise NotInstalled(f"{folder / LIST} is missing or cannot be read: {again}") from None
    body, mark, own = text.rpartition("# end ")
    if not mark or own != f"{hashlib.sha256(body.encode()).hexdigest()}\n":
        raise NotInstalled(f"{folder / LIST} is not whole: {again}")
    lines = [line for line in body.splitlines() if line and not line.startswith("#")]
    wrong = []
    for line in lines:
        digest, name = line.split("  ", 1)
        try:
            content = (folder / name).read_bytes()
        except OSError:
            content = b""
        if hashlib.sha256(content).hexdigest() != digest:
            wrong.append(name)
        elif name.endswith(".whl"):
            (to / name).write_bytes(content)
    if wrong:
        raise NotInstalled(
            f"{len(wrong)} of {len(lines)} files missing or damaged ({', '.join(wrong)}): {again}"
        )
    said = dict(
        line[2:].split(": ", 1) for line in body.splitlines() if line.startswith("# ") and ": " in line
    )
    this = f"{sys.version_info[0]}.{sys.version_info[1]}"
    if this not in said["Python"].split(", "):
        raise NotInstalled(f"this is Python {this}, the folder is for {said['Python']}")
    return said


def installed(place: Path, wheel: Path, said: "dict[str, str]") -> Path:
    """Install the wheel and all that it needs beside the versions before, and try it. Return where."""
    version = new_version(place / "versions", wheel.name.split("-")[1])
    pip = next(wheel.parent.glob("pip-*.whl"))
    program = f"{wheel}[{said['with']}]" if "with" in said else str(wheel)
    made_for = f"the folder is for {said.get('system')}, Python {said['Python']}"
    install = ["install", "--isolated", "--quiet", "--no-index", "--disable-pip-version-check"]
    environment = {key: value for key, value in os.environ.items() if not key.startswith(("PIP_", "PYTHON"))}
    environment["PIP_CONFIG_FILE"] = os.devnull
    python = version / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    try:
        subprocess.run(
            [sys.executable, "-m", "venv", "--without-pip", str(version)], env=environment, check=True
        )
        find = ["--find-links", str(wheel.parent)]
        subprocess.run([str(python), f"{pip}/pip", *install, *find, program], env=environment, check=True)
        subprocess.run([str(python), "-c", TRIAL], env=environment, check=True)
    except subprocess.CalledProcessError as error:
        shutil.rmtree(version, ignore_errors=True)
        raise NotInstalled(f"exit status {error.returncode}, see above; {made_for}") from None
    except BaseException:
        shutil.rmtree(version, ignore_errors=True)
        raise
    return version


def new_version(versions: Path, name: str) -> Path:
    """Make and return a folder that is nobody's yet: a version is never installed over another."""
    versions.mkdir(parents=True, exist_ok=True)
    number = 1
    while True:
        try:
            (versions / f"{name}-{number}").mkdir()
        except FileExistsError:
            number += 1
        else:
            return versions / f"{name}-{number}"


def switch(place: Path, version: Path) -> None:
    """Let the command lead to this version: a small file, written whole and moved into place."""
    if os.name == "nt":
        name, text = "alongside.cmd", f'@"%~dp0..\\versions\\{version.name}\\Scripts\\alongside.exe" %*\n'
    else:
        name, text = "alongside", f'#!/bin/sh\nexec {quote(str(version / "bin" / "alongside"))} "$@"\n'
    command = place / "bin" / name
    command.parent.mkdir(exist_ok=True)
    part = command.with_name(f".{name}.part")
    with part.open("wb") as file:
        file.write(os.fsencode(text))
        file.flush()
        os.fsync(file.fileno())
    part.chmod(0o755)
    part.replace(command)


def report(place: Path, version: Path) -> None:
    """Print what is there now."""
    command = place / "bin" / ("alongside.cmd" if os.name == "nt" else "alongside")
    print(f"installed {version.name}; run it as\n\n    {command} demo\n")
    before = sorted(each.name for each in version.parent.iterdir() if each != version)
    if before:
        print("A watch that runs goes on with the version it was begun with. Begin it anew for this one.")
        print(f"To be deleted when no watch runs on them: {', '.join(before)} in {version.parent}")


if __name__ == "__main__":
    sys.exit(main())
