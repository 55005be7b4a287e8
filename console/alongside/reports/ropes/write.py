"""Write the lives of the ropes in several records."""

from collections.abc import Sequence
from pathlib import Path

from alongside.record.opening import open_record
from alongside.reports.extras import need


def write_lives(records: Sequence[Path], csv: Path | None = None, json: Path | None = None) -> list[str]:
    """Return rows to print; write the same as CSV and JSON where files are named. Raises WrongInput for
    what is no record, for a library that is not installed, for records that cannot be of the same ropes."""
    need("lives", "report", "rainflow")
    from alongside.reports.ropes.life import lives_of
    from alongside.reports.ropes.tables import life_json, life_rows, life_table
    from alongside.reports.ropes.use import Use, uses_in

    uses: list[Use] = []
    for path in records:
        with open_record(path) as record:
            uses += uses_in(record)
    lives = lives_of(uses)
    if csv is not None:
        life_table(csv, lives)
    if json is not None:
        life_json(json, lives)
    return life_rows(lives)
