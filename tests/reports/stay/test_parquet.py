"""Tables as Parquet, and the long form: types, units and format in the file, read by other libraries."""

import csv
import json
from pathlib import Path

import numpy as np
import pandas
import polars
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from alongside import __version__
from alongside.cli.main import main
from alongside.errors import WrongInput
from alongside.reports.output_files import Outputs
from alongside.reports.parquet_files import write_parquet
from alongside.reports.stay.write import MoreTables, write_report
from alongside.reports.table import Column, Table

NAMES = ("states", "events", "actions", "lines")


@pytest.fixture(scope="session")
def tables(flood: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("parquet")
    more = MoreTables(folder / "parquet", folder / "long.parquet")
    write_report(flood, folder / "report.html", folder / "csv", more=more)
    write_report(flood, folder / "report.html", more=MoreTables(long=folder / "long.csv"))
    return folder


@pytest.mark.slow
@pytest.mark.parametrize("name", NAMES)
def test_schema_and_metadata_say_what_the_columns_are(tables: Path, name: str) -> None:
    schema = pq.read_schema(tables / "parquet" / f"{name}.parquet")
    assert schema.metadata[b"alongside.format"] == b"1"
    assert schema.metadata[b"alongside.table"] == name.encode()
    assert schema.metadata[b"alongside.version"] == __version__.encode()
    document = json.loads((tables / "parquet" / "columns.json").read_text())
    (columns,) = (each["columns"] for each in document["tables"] if each["table"] == name)
    types = {"text": pa.string(), "number": pa.float64(), "count": pa.int64(),
             "time": pa.timestamp("ms", tz="UTC")}  # fmt: skip
    assert [field.name for field in schema] == [column["name"] for column in columns]
    for field, column in zip(schema, columns, strict=True):
        assert field.type == types[column["kind"]]
        assert (field.metadata or {}).get(b"unit", b"").decode() == column["unit"]


@pytest.mark.parametrize("name", NAMES)
def test_cells_are_those_of_the_table_as_csv(tables: Path, name: str) -> None:
    with (tables / "csv" / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    table = pq.read_table(tables / "parquet" / f"{name}.parquet")
    assert table.num_rows == len(rows)
    for field in table.schema:
        ours, theirs = table[field.name].to_pylist(), [row[field.name] for row in rows]
        assert [cell is None for cell in ours] == [cell == "" for cell in theirs] or field.type == pa.string()
        if pa.types.is_floating(field.type):
            known = [(cell, float(text)) for cell, text in zip(ours, theirs, strict=True) if text]
            np.testing.assert_allclose(*zip(*known, strict=True), rtol=1e-6) if known else None


def test_the_states_load_in_polars_and_pandas_with_their_types(tables: Path) -> None:
    path = tables / "parquet" / "states.parquet"
    by_polars, by_pandas = polars.read_parquet(path), pandas.read_parquet(path)
    assert by_polars.schema["time"] == polars.Datetime("ms", "UTC")
    assert str(by_pandas["time"].dt.tz) == "UTC"
    assert by_polars.schema["tide"] == polars.Float64
    assert by_pandas["tide"].dtype == np.float64
    assert by_polars["time"].is_sorted()
    np.testing.assert_array_equal(by_polars["tide"].to_numpy(), by_pandas["tide"].to_numpy())
    csv_file = tables / "csv" / "states.csv"
    from_csv = pandas.read_csv(csv_file, parse_dates=["time"])
    np.testing.assert_allclose(from_csv["tide"], by_pandas["tide"], rtol=1e-6)
    assert polars.read_csv(csv_file, try_parse_dates=True).shape == by_polars.shape


def test_a_line_keeps_its_name_and_is_no_number(tables: Path) -> None:
    events = pandas.read_parquet(tables / "parquet" / "events.parquet")
    assert set(events["line"].dropna().map(type)) <= {str}
    assert polars.read_parquet(tables / "parquet" / "lines.parquet").schema["line"] == polars.String


@pytest.mark.parametrize("end", ["csv", "parquet"])
def test_the_long_form_holds_each_figure_of_the_states_once(tables: Path, end: str) -> None:
    path = tables / f"long.{end}"
    if end == "csv":
        long = pandas.read_csv(path, dtype={"line": str}, parse_dates=["time"])
    else:
        long = pandas.read_parquet(path)
    states = pandas.read_parquet(tables / "parquet" / "states.parquet").set_index("time")
    assert not long.duplicated(["time", "line", "quantity"]).any()
    wide = long[long["quantity"] != "stage"]
    names = wide["quantity"] + wide["line"].fillna("").map(lambda line: f".{line}" if line else "")
    assert len(wide) == states.select_dtypes("number").notna().to_numpy().sum()
    turned = wide.assign(name=names).pivot(index="time", columns="name", values="value")
    for name in ("tide", *(name for name in turned.columns if name.startswith("tension_kn."))):
        known = turned[name].dropna()
        np.testing.assert_allclose(known, states[name].dropna(), rtol=1e-6)
    units = dict(zip(long["quantity"], long["unit"], strict=True))
    assert (units["tide"], units["tension_kn"], units["load_share"], units["stage"]) == (
        "m",
        "kN",
        "1",
        "stage",
    )
    stages = long[long["quantity"] == "stage"]
    assert set(stages["value"]) <= {0.0, 1.0, 2.0, 3.0}


@pytest.mark.slow
def test_the_same_bytes_twice(tables: Path, flood: Path, tmp_path: Path) -> None:
    write_report(flood, tmp_path / "report.html", more=MoreTables(parquet=tmp_path / "parquet"))
    for name in NAMES:
        again = (tmp_path / "parquet" / f"{name}.parquet").read_bytes()
        assert again == (tables / "parquet" / f"{name}.parquet").read_bytes()


def written(folder: Path, rows: list[list[object]]) -> None:
    table = Table("some", (Column("name"), Column("x", "number", "m")), rows)  # type: ignore[arg-type]
    with Outputs() as outputs:
        write_parquet(outputs, folder, table)


def test_ours_is_replaced_and_that_of_another_program_is_not(tmp_path: Path) -> None:
    written(tmp_path, [["a", 1.0]])
    written(tmp_path, [["b", float("nan")]])
    assert polars.read_parquet(tmp_path / "some.parquet").rows() == [("b", None)]
    polars.DataFrame({"x": [1]}).write_parquet(tmp_path / "some.parquet")
    before = (tmp_path / "some.parquet").read_bytes()
    with pytest.raises(WrongInput, match="not written over"):
        written(tmp_path, [["a", 1.0]])
    assert (tmp_path / "some.parquet").read_bytes() == before


def test_a_table_without_rows_has_its_columns(tmp_path: Path) -> None:
    written(tmp_path, [])
    assert pq.read_table(tmp_path / "some.parquet").schema.names == ["name", "x"]


def test_long_is_refused_by_the_end_of_its_name(
    flood: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    given = ["report", str(flood), "--out", str(tmp_path / "r.html"), "--long", str(tmp_path / "long.txt")]
    assert main(given) == 2
    assert ".csv or .parquet" in capsys.readouterr().err
    assert not list(tmp_path.iterdir())
