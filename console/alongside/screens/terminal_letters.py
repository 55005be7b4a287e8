"""What letters a terminal has, as far as its environment says."""

import os
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Final

NOTICE: Final = "Plain letters (all: --no-ascii)"
BARE: Final = re.compile(r"linux|dumb|vt\d.*|ansi|cons\d.*")
"""Names of terminals whose letters are those of a text screen, without dots and blocks."""
_UTF_8: Final = re.compile(r"\.?utf-?8", re.IGNORECASE)
_OF_PYTHON: Final = "C.UTF-8"
"""What Python puts in the place of the locale C."""


def has_plain_letters_only(environment: Mapping[str, str]) -> bool:
    """Return whether a terminal cannot show more than ASCII: by its name, or because the locale is one
    without UTF-8. Where the environment names no locale nothing is known, and all letters are used."""
    if BARE.fullmatch(environment.get("TERM", "")):
        return True
    locale = _locale(environment)
    return bool(locale) and not _UTF_8.search(locale)


def _locale(environment: Mapping[str, str]) -> str:
    """Return the locale of letters; where Python put its own in the place of C, that C."""
    every, letters, language = (environment.get(name, "") for name in ("LC_ALL", "LC_CTYPE", "LANG"))
    if every:
        return every
    if letters == _OF_PYTHON and language in ("C", "POSIX"):
        return language
    return letters or language


def environment_at_start() -> Mapping[str, str]:
    """Return the environment that the process began with, where the system tells it: without what Python has
    changed since."""
    try:
        given = Path("/proc/self/environ").read_bytes()
    except OSError:
        return os.environ
    pairs = (os.fsdecode(each).partition("=") for each in given.split(b"\0") if each)
    return {name: value for name, _is, value in pairs} or os.environ
