"""What is in sight, as files: a picture (SVG) and text."""

from datetime import UTC, datetime
from math import floor, isfinite
from pathlib import Path

from alongside.cycle.picture import Picture
from alongside.errors import AlongsideError
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import VIEW


def free_place(folder: Path, picture: Picture, part: str) -> Path:
    """Return a path without its ending for a view of a part, of which neither file is there yet."""
    stem = f"view-{part}-{_stamp(picture.time)}"
    names = (stem, *(f"{stem}-{number}" for number in range(2, 1000)))
    return next(
        folder / name
        for name in names
        if not any((folder / f"{name}{ending}").exists() for ending in (".svg", ".txt"))
    )


def _stamp(time: float) -> str:
    return (
        f"{datetime.fromtimestamp(floor(time), UTC):%Y%m%dT%H%M%SZ}" if isfinite(time) else "before-figures"
    )


def written(place: Path, svg: str, text: str) -> str:
    """Write both files; return what to reply."""
    try:
        with Outputs() as outputs:
            outputs.text(place.with_name(f"{place.name}.svg"), VIEW).write(svg)
            outputs.text(place.with_name(f"{place.name}.txt"), VIEW).write(text)
    except AlongsideError as error:
        return f"Not written: {error}"
    return f"Written: {place.name}.svg and .txt in {place.parent}"
