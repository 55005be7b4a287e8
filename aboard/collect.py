"""Collect in a folder what a machine without a network needs to install alongside, or a newer version of it.

    python3 aboard/collect.py FOLDER [--python 3.12] [--system windows] [--report] [--modbus]

Run it in the checkout, on a machine with a network. FOLDER, on a stick or not, then has the wheels,
`install.py`, and a list of them all with their digests, by which a folder that was copied in part is known.
An earlier collection in FOLDER is replaced; other files there are left alone.
"""

import argparse
import hashlib
import importlib
import os
import platform
import shutil
import subprocess
import sys
import sysconfig
import tempfile
import zipfile
from email.parser import HeaderParser
from pathlib import Path
from typing import Any, Final

ROOT: Final = Path(__file__).resolve().parents[1]
LIST: Final = "contents.txt"
PYTHONS: Final = ("3.11", "3.12", "3.13", "3.14")
GLIBC: Final = range(17, 29)
"""Minor versions of the C library of Linux that wheels are built for."""
SYSTEMS: Final = {
    "linux": ("manylinux2014_x86_64", *(f"manylinux_2_{minor}_x86_64" for minor in GLIBC)),
    "linux-arm": ("manylinux2014_aarch64", *(f"manylinux_2_{minor}_aarch64" for minor in GLIBC)),
    "windows": ("win_amd64",),
    "mac-arm": ("macosx_14_0_arm64",),
    "mac-intel": ("macosx_14_0_x86_64",),
}
MARKERS: Final = {  # what a requirement may ask of a system
    "linux": {"sys_platform": "linux", "platform_system": "Linux", "os_name": "posix"},
    "windows": {"sys_platform": "win32", "platform_system": "Windows", "os_name": "nt"},
    "mac": {"sys_platform": "darwin", "platform_system": "Darwin", "os_name": "posix"},
}


def main() -> int:
    options = arguments()
    folder: Path = options.folder
    systems = options.system or [this_system()]
    pythons = options.python or list(PYTHONS)
    refuse_foreign(folder)
    with tempfile.TemporaryDirectory(prefix="alongside-") as work:
        wheels = Path(work)
        pip("wheel", "--no-deps", "-w", wheels, ROOT)
        (program,) = wheels.glob("alongside-*.whl")
        extra = ",".join(name for name in ("report", "modbus") if getattr(options, name))
        pip("download", "--no-deps", "-d", wheels, "pip")
        for system in systems:
            for python in pythons:
                print(f"Python {python} on {system}", flush=True)
                download(wheels, program, extra, system, python)
        shutil.copyfile(Path(__file__).with_name("install.py"), wheels / "install.py")
        about = {"program": program.name, "system": ", ".join(systems), "Python": ", ".join(pythons)}
        keep(wheels, folder, about | ({"with": extra} if extra else {}))
    size = sum(path.stat().st_size for path in listed(folder)) / 1e6
    print(
        f"{len(listed(folder))} files, {size:.0f} MB in {folder}. On board: python3 {folder.name}/install.py"
    )
    return 0


def arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(
        description="Collect in a folder all that a machine without a network needs to install alongside."
    )
    parser.add_argument("folder", type=Path, metavar="FOLDER", help="where to, such as a folder on a stick")
    choices = f"such as 3.12; may be given again (default: {', '.join(PYTHONS)})"
    parser.add_argument("--python", action="append", choices=PYTHONS, metavar="VERSION", help=choices)
    system = f"{', '.join(SYSTEMS)}; may be given again (default: that of this machine)"
    parser.add_argument("--system", action="append", choices=SYSTEMS, metavar="SYSTEM", help=system)
    parser.add_argument("--report", action="store_true", help="with the libraries of `alongside report`")
    modbus = "with the library for gauges whose registers are asked for, ports modbus: and modbus-rtu:"
    parser.add_argument("--modbus", action="store_true", help=modbus)
    return parser.parse_args()


def this_system() -> str:
    """Return the name of the system of this machine. Raises SystemExit for one that nothing is built for."""
    arm = platform.machine().lower() in ("arm64", "aarch64")
    by_tag = {
        "linux": "linux-arm" if arm else "linux",
        "macosx": "mac-arm" if arm else "mac-intel",
        "win": "windows",
    }
    tag = sysconfig.get_platform()
    name = next((name for start, name in by_tag.items() if tag.startswith(start)), None)
    if name is None:
        raise SystemExit(f"{tag}: name the system on board with --system: {', '.join(SYSTEMS)}")
    return name


def pip(*given: object) -> None:
    done = subprocess.run([sys.executable, "-m", "pip", "--quiet", *map(str, given)], check=False)
    if done.returncode:
        raise SystemExit(f"pip ended with exit status {done.returncode}, see above; nothing was collected")


def download(wheels: Path, program: Path, extra: str, system: str, python: str) -> None:
    """Download what the program needs on a system and Python. Where a requirement is for one system or Python
    only, pip goes by the machine it runs on: what the one on board needs beside that is asked for by name."""
    to = ["--only-binary=:all:", "--implementation", "cp", "--python-version", python]
    to += [f"--platform={tag}" for tag in SYSTEMS[system]]
    wanted = [f"{program}[{extra}]" if extra else str(program)]
    while wanted:
        pip("download", "-d", wheels, "--find-links", wheels, *to, *wanted)
        missing = missing_in(wheels, extra, system, python)
        if missing == wanted:
            raise SystemExit(f"not to be had for Python {python} on {system}: {', '.join(missing)}")
        wanted = missing


def missing_in(wheels: Path, extra: str, system: str, python: str) -> list[str]:
    """Return the requirements, from the program's own on, that no wheel in the folder serves there."""
    packaging: Any = importlib.import_module("pip._vendor.packaging.requirements")
    named = {path.name.split("-")[0].replace("_", "-").lower(): path for path in sorted(wheels.glob("*.whl"))}
    there = {"python_version": python, "python_full_version": f"{python}.0", "implementation_name": "cpython"}
    there |= MARKERS[system.split("-")[0]] | {"platform_python_implementation": "CPython"}
    missing, seen, waiting = {}, set(), [("alongside", frozenset({*extra.split(","), ""}))]
    while waiting:
        name, extras = waiting.pop()
        if (name, extras) in seen:
            continue
        seen.add((name, extras))
        for line in requirements_of(named[name]):
            asked = packaging.Requirement(line)
            if asked.marker and not any(asked.marker.evaluate({**there, "extra": each}) for each in extras):
                continue
            needed = asked.name.replace("_", "-").replace(".", "-").lower()
            if needed in named:
                waiting.append((needed, frozenset({*asked.extras, ""})))
            else:
                missing[needed] = f"{asked.name}{asked.specifier}"
    return sorted(missing.values())


def requirements_of(wheel: Path) -> list[str]:
    with zipfile.ZipFile(wheel) as packed:
        (name,) = [each for each in packed.namelist() if each.endswith(".dist-info/METADATA")]
        return HeaderParser().parsestr(packed.read(name).decode()).get_all("Requires-Dist") or []


def listed(folder: Path) -> list[Path]:
    """Return the files of the collection in a folder, those that are there; [] without one."""
    if not (folder / LIST).is_file():
        return []
    lines = (folder / LIST).read_text(encoding="utf-8", errors="replace").splitlines()
    names = {line.split("  ", 1)[1] for line in lines if line[:1] != "#" and "  " in line}
    return [folder / name for name in sorted(names) if Path(name).name == name and (folder / name).is_file()]


def refuse_foreign(folder: Path) -> None:
    """Refuse a folder where a file that is not ours has the name of one of ours."""
    if folder.exists() and not folder.is_dir():
        raise SystemExit(f"{folder} is not a folder")
    ours = listed(folder)
    if (folder / "install.py").exists() and folder / "install.py" not in ours:
        raise SystemExit(f"{folder} has another install.py: name another folder")


def keep(wheels: Path, folder: Path, about: dict[str, str]) -> None:
    """Put the collection in the place of the one before. The list goes first and comes last: without it
    nothing is installed."""
    folder.mkdir(parents=True, exist_ok=True)
    before = listed(folder)
    (folder / LIST).unlink(missing_ok=True)
    for path in before:
        path.unlink()
    rows = [f"# {key}: {value}" for key, value in about.items()]
    for path in sorted(wheels.iterdir()):
        rows.append(f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.name}")
        copy_down(path, folder / path.name)
    body = "".join(f"{row}\n" for row in rows)
    whole = wheels / LIST
    whole.write_text(
        f"{body}# end {hashlib.sha256(body.encode()).hexdigest()}\n", encoding="utf-8", newline="\n"
    )
    copy_down(whole, folder / LIST)


def copy_down(path: Path, to: Path) -> None:
    """Copy a file down to the stick itself: sticks are pulled early."""
    with path.open("rb") as source, to.open("wb") as target:
        shutil.copyfileobj(source, target)
        target.flush()
        os.fsync(target.fileno())


if __name__ == "__main__":
    sys.exit(main())
