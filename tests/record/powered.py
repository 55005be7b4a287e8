"""A disk whose power can fail: a file system in an image file. What the kernel has not been made to write out
is not in the image, and a copy of it is what would be found after the power came back."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

SIZE = 48 << 20


def may_make() -> bool:
    """Whether such a disk can be made here: by root, with loop devices and the tools for ext4."""
    tools = all(shutil.which(tool) for tool in ("mkfs.ext4", "mount", "umount"))
    return os.geteuid() == 0 and tools and Path("/dev/loop-control").exists()


@contextmanager
def mounted(image: Path, place: Path) -> Iterator[Path]:
    """The image's files. Nothing is written out by and by, only what a program insists on."""
    place.mkdir(exist_ok=True)
    subprocess.run(["mount", "-o", "loop,commit=300,noatime", image, place], check=True)
    try:
        yield place
    finally:
        subprocess.run(["umount", "-l", place], check=True)


@contextmanager
def disk(folder: Path) -> Iterator[tuple[Path, Path]]:
    """A new disk: its image, and where its files are."""
    image = folder / "disk.img"
    with image.open("wb") as file:
        file.truncate(SIZE)
    subprocess.run(["mkfs.ext4", "-q", "-F", image], check=True)
    with mounted(image, folder / "disk") as place:
        yield image, place


@contextmanager
def after_the_power_came_back(image: Path, copy: Path) -> Iterator[Path]:
    """The files as they would be found had the power failed just now."""
    subprocess.run(["cp", "--sparse=always", image, copy], check=True)
    with mounted(copy, copy.with_suffix(".files")) as place:
        yield place
    copy.unlink()
