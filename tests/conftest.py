"""Hypothesis without deadlines: how long an example takes says nothing about whether it is right, and a test
that runs against the clock fails on a busy machine. What is kept for the next run lies elsewhere: the tests
begin without it each time, and leave the user's own as it is."""

from collections.abc import Iterator

import pytest
from hypothesis import settings

settings.register_profile("house", deadline=None)
settings.load_profile("house")


@pytest.fixture(scope="session", autouse=True)
def nothing_kept(tmp_path_factory: pytest.TempPathFactory) -> Iterator[None]:
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("XDG_CACHE_HOME", str(tmp_path_factory.mktemp("cache")))
        yield
