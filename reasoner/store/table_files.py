"""Tables as files: CSV or Parquet, and back without a difference.

In: rows and the columns of a table of the records. Out: a file; or its rows again.
Not here: which rows. In CSV a text stands in quotation marks and what was not written is empty without them.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, Literal

import pyarrow as pa
from pyarrow import csv, parquet
from sqlalchemy import Boolean, Float, Integer, Table

from reasoner.store.layout import FILE

Kind = Literal["csv", "parquet"]
Rows = Iterable[Sequence[Mapping[str, Any]]]
_LOT = 2000


def shape_of(table: Table) -> Any:
    """The pyarrow schema of a table as it is exported: for bytes the name of a file, for an enclosed file its name too."""
    fields = [(column.name, _kind(column.type)) for column in table.columns]
    return pa.schema(fields + ([(FILE, pa.string())] if table.name == "enclosed" else []))


def _kind(kind: Any) -> Any:
    if isinstance(kind, Boolean):
        return pa.bool_()
    if isinstance(kind, Integer):
        return pa.int64()
    if isinstance(kind, Float):
        return pa.float64()
    return pa.string()  # LargeBinary too: the name of the file stands there


def write(path: Path, kind: Kind, shape: Any, lots: Rows) -> int:
    """Write lots of rows; how many there were. Raises OSError."""
    count = 0
    with _writer(path, kind, shape) as out:
        for lot in lots:
            out.write_batch(pa.RecordBatch.from_pylist(list(lot), schema=shape))
            count += len(lot)
    return count


def _writer(path: Path, kind: Kind, shape: Any) -> Any:
    if kind == "parquet":
        return parquet.ParquetWriter(path, shape)
    return csv.CSVWriter(path, shape, write_options=csv.WriteOptions(quoting_style="needed"))


def read(path: Path, kind: Kind, shape: Any) -> Iterator[list[dict[str, Any]]]:
    """Lots of rows. Raises ValueError where the file does not hold such a table, OSError where it cannot be read."""
    try:
        if kind == "parquet":
            found = parquet.read_table(path)
        else:
            found = csv.read_csv(
                path,
                read_options=csv.ReadOptions(use_threads=False),
                parse_options=csv.ParseOptions(newlines_in_values=True),
                convert_options=csv.ConvertOptions(
                    column_types=shape, null_values=[""], strings_can_be_null=True, quoted_strings_can_be_null=False
                ),
            )
    except pa.ArrowInvalid as fault:
        raise ValueError(str(fault).splitlines()[0]) from None
    if found.schema.names != shape.names:
        raise ValueError(f"its columns are {', '.join(found.schema.names)}")
    for batch in found.cast(shape).to_batches(max_chunksize=_LOT):
        yield batch.to_pylist()
