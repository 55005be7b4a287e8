"""Write the lives of the ropes in several records."""

from collections.abc import Sequence
from pathlib import Path

from alongside.forecast.progress import Seen, unseen
from alongside.record.opening import open_record
from alongside.record.words import missing_rows
from alongside.reports.extras import need
from alongside.reports.output_files import Outputs
from alongside.reports.output_places import check_outputs
from alongside.reports.replaceable import LIFE_TABLE, LIVES
from alongside.wording.safe import safe


def write_lives(
    records: Sequence[Path],
    csv: Path | None = None,
    json: Path | None = None,
    seen: Seen = unseen,
) -> list[str]:
    """Return rows to print; write the same as CSV and JSON where files are named. `seen` is told which part
    of the records, 0 to 1, has been read, and which is next. Raises WrongInput for
    what is no record, for a library that is not installed, for records that cannot be of the same ropes."""
    check_outputs(records, [(csv, LIFE_TABLE), (json, LIVES)])
    need("lives", "report", "rainflow")
    from alongside.record.ropes.use import Use, uses_in
    from alongside.reports.ropes.life import lives_of
    from alongside.reports.ropes.tables import life_json, life_rows, life_table

    uses: list[Use] = []
    missing: list[str] = []
    for number, path in enumerate(records):
        seen(number / len(records), str(path))
        with open_record(path) as record:
            uses += uses_in(record)
            missing += [
                f"{path}: {row}" for row in missing_rows(record.missing(), record.runs()[-1].stay.display)
            ]
    lives = lives_of(uses)
    with Outputs() as outputs:
        if csv is not None:
            life_table(outputs, csv, lives)
        if json is not None:
            life_json(outputs, json, lives)
    return [*life_rows(lives), *map(safe, missing)]
