"""What a wheel carries: every module and data file, manual and examples; and that it runs elsewhere."""

import subprocess
import sys
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "console"
TRAVELS = {SOURCE: "", ROOT / "configs": "alongside/configs/", ROOT / "replay_logs": "alongside/replay_logs/"}


def test_every_folder_of_modules_is_a_package() -> None:
    for path in (SOURCE / "alongside").rglob("*.py"):
        assert (path.parent / "__init__.py").is_file(), f"{path} stays behind"


@pytest.mark.slow
def test_a_wheel_carries_everything_and_runs_elsewhere(tmp_path: Path) -> None:
    build = [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(tmp_path), str(ROOT)]
    subprocess.run(build, check=True, timeout=300)
    (wheel,) = tmp_path.glob("alongside-*.whl")
    with zipfile.ZipFile(wheel) as packed:
        packed.extractall(tmp_path / "site")
        carried = set(packed.namelist())
    for top, under in TRAVELS.items():
        for path in top.rglob("*"):
            if path.is_file() and "__pycache__" not in path.parts:
                assert f"{under}{path.relative_to(top).as_posix()}" in carried, f"{path} stays behind"
    run = [sys.executable, "-c", "import sys; from alongside.cli.main import main; sys.exit(main())", "demo"]
    env = {"PYTHONPATH": str(tmp_path / "site"), "HOME": str(tmp_path), "PATH": ""}
    shown = subprocess.run(
        run, cwd=tmp_path, env=env, capture_output=True, text=True, timeout=120, check=True
    )
    assert "ALARM" in shown.stdout
