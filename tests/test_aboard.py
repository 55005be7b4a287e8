"""The folder for a machine without a network: made, installed from, updated from; and one that is damaged."""

import hashlib
import os
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path
from typing import Any, Final

import pytest

ROOT: Final = Path(__file__).parents[1]
ABOARD: Final = ROOT / "aboard"
THIS: Final = f"{sys.version_info[0]}.{sys.version_info[1]}"
SAID: Final = {"program": "alongside-1-py3-none-any.whl", "system": "linux"}
DEAD: Final = dict.fromkeys(("http_proxy", "https_proxy", "HTTP_PROXY", "HTTPS_PROXY"), "http://127.0.0.1:9")
"""A proxy where nobody listens: whatever asks a network fails at once, where namespaces cannot be had."""


def collect() -> Any:
    """The script as a module."""
    spec = spec_from_file_location("collect", ABOARD / "collect.py")
    assert spec is not None
    assert spec.loader is not None
    module = module_from_spec(spec)
    spec.loader.exec_module(module)
    return module


def install(folder: Path, place: Path) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, str(folder / "install.py"), str(place)]
    unshare = shutil.which("unshare")
    if unshare and not subprocess.run([unshare, "-rn", "true"], capture_output=True, check=False).returncode:
        command = [unshare, "-rn", *command]
    return subprocess.run(
        command, env={**os.environ, **DEAD}, capture_output=True, text=True, timeout=300, check=False
    )


def run(place: Path, *arguments: str) -> str:
    command = [str(place / "bin" / "alongside"), *arguments]
    env = {"HOME": str(place), "PATH": os.environ["PATH"], **DEAD}
    done = subprocess.run(
        command, cwd=place, env=env, capture_output=True, text=True, timeout=120, check=False
    )
    assert done.returncode == 0, done.stderr
    return done.stdout


def all_in(place: Path) -> dict[str, bytes]:
    """Every file in a folder but those that Python writes as it runs."""
    paths = sorted(path for path in place.rglob("*") if path.is_file() and path.suffix != ".pyc")
    return {str(path.relative_to(place)): path.read_bytes() for path in paths}


def fake_wheel(folder: Path, name: str, *requires: str, version: str = "1") -> Path:
    path = folder / f"{name}-{version}-py3-none-any.whl"
    about = f"{name}-{version}.dist-info/METADATA"
    text = f"Metadata-Version: 2.1\nName: {name}\nVersion: {version}\n"
    with zipfile.ZipFile(path, "w") as packed:
        packed.writestr(about, text + "".join(f"Requires-Dist: {each}\n" for each in requires))
    return path


@pytest.fixture
def stick(tmp_path: Path) -> Path:
    """A collection of wheels that nothing can be installed from: what is refused is refused before."""
    wheels, folder = tmp_path / "wheels", tmp_path / "stick"
    wheels.mkdir()
    fake_wheel(wheels, "alongside", "yaml")
    fake_wheel(wheels, "yaml")
    fake_wheel(wheels, "pip")
    shutil.copy(ABOARD / "install.py", wheels)
    collect().keep(wheels, folder, {**SAID, "Python": f"3.9, {THIS}"})
    return folder


def refusal(folder: Path, place: Path) -> str:
    done = install(folder, place)
    assert done.returncode == 2, done.stderr
    assert done.stderr.startswith("nothing was changed: ")
    assert not place.exists()
    return done.stderr


def test_a_file_that_came_over_in_part_is_named(stick: Path, tmp_path: Path) -> None:
    wheel = stick / "yaml-1-py3-none-any.whl"
    wheel.write_bytes(wheel.read_bytes()[:-1])
    assert "1 of 4 files missing or damaged (yaml-1-py3-none-any.whl)" in refusal(stick, tmp_path / "place")


def test_a_file_that_did_not_come_over_is_named(stick: Path, tmp_path: Path) -> None:
    (stick / "alongside-1-py3-none-any.whl").unlink()
    assert "(alongside-1-py3-none-any.whl)" in refusal(stick, tmp_path / "place")


@pytest.mark.parametrize("kept", [0, 1, 40, -70, -5, -1])
def test_a_list_that_came_over_in_part_is_known_as_such(stick: Path, tmp_path: Path, kept: int) -> None:
    whole = (stick / "contents.txt").read_bytes()
    (stick / "contents.txt").write_bytes(whole[:kept])
    assert "contents.txt is not whole: copy the folder once more" in refusal(stick, tmp_path / "place")


def test_a_list_that_was_changed_is_known_as_such(stick: Path, tmp_path: Path) -> None:
    path = stick / "contents.txt"
    path.write_text(path.read_text().replace(THIS, "3.99"))
    assert "contents.txt is not whole" in refusal(stick, tmp_path / "place")


def test_without_a_list_nothing_is_installed(stick: Path, tmp_path: Path) -> None:
    (stick / "contents.txt").unlink()
    assert "contents.txt is missing" in refusal(stick, tmp_path / "place")


def test_an_installer_that_came_over_in_part_does_nothing(
    stick: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Cut behind any line: where that still is a program, it installs nothing."""
    whole = (stick / "install.py").read_text().splitlines(keepends=True)
    programs = 0
    monkeypatch.setattr(sys, "argv", ["install.py", str(tmp_path / "place")])
    for lines in range(len(whole) - 1):
        text = "".join(whole[:lines])
        try:
            compile(text, "install.py", "exec")
        except SyntaxError:
            continue
        programs += 1
        exec(text, {"__name__": "__main__", "__file__": str(stick / "install.py")})
    assert programs > 50
    assert not (tmp_path / "place").exists()


def test_another_python_is_told_which_the_folder_is_for(stick: Path, tmp_path: Path) -> None:
    path = stick / "contents.txt"
    body = path.read_text().rpartition("# end ")[0].replace(f", {THIS}", ", 3.99")
    path.write_text(f"{body}# end {hashlib.sha256(body.encode()).hexdigest()}\n")
    assert f"this is Python {THIS}, the folder is for 3.9, 3.99" in refusal(stick, tmp_path / "place")


def test_an_environment_of_python_is_not_written_into(stick: Path, tmp_path: Path) -> None:
    place = tmp_path / "place"
    place.mkdir()
    (place / "pyvenv.cfg").touch()
    done = install(stick, place)
    assert done.returncode == 2
    assert "name another place" in done.stderr
    assert [path.name for path in place.iterdir()] == ["pyvenv.cfg"]


def test_what_cannot_be_installed_leaves_nothing(stick: Path, tmp_path: Path) -> None:
    """Whole by the list, but its pip is none that runs."""
    done = install(stick, tmp_path / "place")
    assert done.returncode == 2
    assert f"the folder is for linux, Python 3.9, {THIS}" in done.stderr
    assert not all_in(tmp_path / "place")
    assert not list((tmp_path / "place" / "versions").iterdir())


def test_a_newer_collection_takes_the_place_of_the_older(stick: Path, tmp_path: Path) -> None:
    (stick / "photograph.jpg").write_bytes(b"ours")
    wheels = tmp_path / "newer"
    wheels.mkdir()
    fake_wheel(wheels, "alongside", version="2")
    shutil.copy(ABOARD / "install.py", wheels)
    collect().refuse_foreign(stick)
    collect().keep(wheels, stick, {"program": "alongside-2-py3-none-any.whl", "Python": THIS})
    names = sorted(path.name for path in stick.iterdir())
    assert names == ["alongside-2-py3-none-any.whl", "contents.txt", "install.py", "photograph.jpg"]


def test_another_file_of_that_name_is_not_written_over(tmp_path: Path) -> None:
    (tmp_path / "install.py").write_text("of somebody else")
    with pytest.raises(SystemExit, match=r"another install\.py"):
        collect().refuse_foreign(tmp_path)


def test_what_another_system_needs_beside_is_asked_for(tmp_path: Path) -> None:
    of_extras = ('charts; extra == "report"', 'registers; extra == "modbus"')
    fake_wheel(tmp_path, "alongside", "rich>=2", *of_extras)
    fake_wheel(
        tmp_path, "rich", 'colour>=1; sys_platform == "win32"', 'older_typing; python_version < "3.12"'
    )
    missing = collect().missing_in
    assert missing(tmp_path, "", "linux", "3.12") == []
    assert missing(tmp_path, "", "windows", "3.12") == ["colour>=1"]
    assert missing(tmp_path, "report", "mac-arm", "3.11") == ["charts", "older_typing"]
    assert missing(tmp_path, "report,modbus", "mac-arm", "3.12") == ["charts", "registers"]


def test_the_installer_can_be_read_by_old_pythons() -> None:
    """So that they say that they are too old: nothing newer than 3.6."""
    import ast

    text = (ABOARD / "install.py").read_text()
    assert "from __future__" not in text
    ast.parse(text, feature_version=(3, 7))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    """A real collection for this system and Python, which needs an index of packages."""
    folder = tmp_path_factory.mktemp("aboard") / "stick"
    done = subprocess.run(
        [sys.executable, str(ABOARD / "collect.py"), str(folder), "--python", THIS],
        capture_output=True,
        text=True,
        timeout=600,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    assert "On board: python3 stick/install.py" in done.stdout
    yield folder
    shutil.rmtree(folder)


@pytest.mark.slow
def test_installed_and_updated_by_one_line_without_a_network(made: Path, tmp_path: Path) -> None:
    place = tmp_path / "a ship's place"
    first = install(made, place)
    assert first.returncode == 0, first.stderr
    assert f"alongside 0.1.0, Python {THIS}" in run(place, "--version")
    assert "ALARM" in run(place, "demo")

    # A damaged folder: the version that is there is as it was, to the last byte.
    before = all_in(place)
    damaged = tmp_path / "damaged"
    shutil.copytree(made, damaged)
    wheel = next(damaged.glob("numpy-*.whl"))
    wheel.write_bytes(wheel.read_bytes()[: 1 << 20])
    assert install(damaged, place).returncode == 2
    assert all_in(place) == before

    # What passes the list and does not run is not switched to either.
    body = (damaged / "contents.txt").read_text().rpartition("# end ")[0]
    whole = hashlib.sha256((made / wheel.name).read_bytes()).hexdigest()
    body = body.replace(whole, hashlib.sha256(wheel.read_bytes()).hexdigest())
    (damaged / "contents.txt").write_text(f"{body}# end {hashlib.sha256(body.encode()).hexdigest()}\n")
    failed = install(damaged, place)
    assert failed.returncode == 2
    assert "nothing was changed" in failed.stderr
    assert all_in(place) == before

    second = install(made, place)
    assert second.returncode == 0, second.stderr
    assert "installed 0.1.0-2" in second.stdout
    assert "To be deleted when no watch runs on them: 0.1.0-1" in second.stdout
    assert "0.1.0-2" in (place / "bin" / "alongside").read_text()
    assert "ALARM" in run(place, "demo")
