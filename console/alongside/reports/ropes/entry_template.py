"""A file of entries to fill in: for each rope and tail a row to take the # away from."""

import json
from collections.abc import Iterator
from datetime import date
from pathlib import Path

from alongside.record.ropes.entry import DEEDS, FINDINGS, HOW
from alongside.record.ropes.parts import parts_of
from alongside.reports.output_files import Outputs
from alongside.reports.replaceable import ROPE_ENTRIES
from alongside.reports.ropes.keeping import Ropes
from alongside.stay.model import Stay


def write_template(outputs: Outputs, path: Path, name: str, ropes: Ropes | None, stay: Stay | None) -> None:
    """Write a file of entries for `alongside ropes NAME --entries`, with the ropes of the database and those
    of a stay file that bear a serial number."""
    rows = [
        *_head(name, ropes.today if ropes is not None else None),
        *_certificates(ropes, stay),
        *_inspections(ropes, stay),
    ]
    outputs.text(path, ROPE_ENTRIES).write("".join(f"{row}\n" for row in rows))


def _head(name: str, day: date | None) -> Iterator[str]:
    yield f"# Entries for {_in_comment(name)}. Take the # away from a row and fill it in; then:"
    yield f"#   alongside ropes {_in_comment(name)} --entries THIS_FILE"
    yield "# The same entry twice counts once. Forces in kN, or with their unit: 65 t."
    yield "#"
    for deed, (needed, may) in DEEDS.items():
        either = [*needed, *(f"[{each}]" for each in may)]
        yield f"#   {deed}: {', '.join(either)}" if either else f"#   {deed}"
    yield f"# findings: {', '.join(FINDINGS)}"
    yield f"# residual_strength: share of its own MBL that is left, with how: {' or '.join(HOW)}"
    yield "# What is left blank is not entered. An entry may have its own day and by."
    yield "format: 1"
    yield f"day: {'' if day is None else day}"
    yield "by:"
    yield "entries:"


def _certificates(ropes: Ropes | None, stay: Stay | None) -> Iterator[str]:
    """Yield a certificate for each rope of the stay file that has none yet."""
    known = {each.history.serial for each in ropes.conditions if each.history.certificate} if ropes else set()
    for part in parts_of(stay) if stay is not None else ():
        if part.by_serial and part.key not in known:
            what = "tail" if part.what == "tail" else "rope"
            certificate = _quoted(part.rope.certificate) if part.rope.certificate else ""
            yield (
                f"# - {{serial: {_quoted(part.key)}, deed: certificate, what: {what}, "
                f"certificate: {certificate}, mbl_kn: {part.rope.mbl_kn:g}, length_m: , made: }}"
            )
            yield (
                f"# - {{serial: {_quoted(part.key)}, deed: fitted, where: {_quoted(f'line {part.line}')}}}"
            )


def _inspections(ropes: Ropes | None, stay: Stay | None) -> Iterator[str]:
    serials = [each.history.serial for each in ropes.conditions if each.retired is None] if ropes else []
    serials += [part.key for part in parts_of(stay) if part.by_serial] if stay is not None else []
    for serial in dict.fromkeys(serials):
        yield (
            f"# - {{serial: {_quoted(serial)}, deed: inspected, findings: [no damage], "
            "residual_strength: , how: , next: }"
        )


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def _in_comment(text: str) -> str:
    return "".join(each for each in text if each.isprintable())
