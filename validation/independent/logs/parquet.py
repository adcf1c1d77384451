"""Writes crates/steadypull-logs/tests/open/pyarrow*.parquet with pyarrow, a writer that is not the
library the crate reads with: parquet.py FOLDER

pyarrow's own choices of pages and encodings (26.0.1), two row groups, packed in every way it has; pages of
both kinds, their checksums beside them but in the first file. Numbers are made up by a rule that tests/open.rs repeats.
"""
import decimal
import pathlib
import sys

import pyarrow as pa
import pyarrow.parquet as pq

rows = range(60)
table = pa.table({
    "when": pa.array([1_900_000_000_000_000_000 + 2_500_000 * n for n in rows], pa.timestamp("ns")),
    "load_kN": pa.array([None if n % 7 == 3 else n / 8 for n in rows], pa.float64()),
    "travel (mm)": pa.array([n - 30 for n in rows], pa.int32()),
    "count": pa.array([2**32 - 1 - n for n in rows], pa.uint32()),
    "level": pa.array([n % 3 + 0.5 for n in rows], pa.float32()),
    "exact": pa.array([decimal.Decimal(n * 25).scaleb(-2) for n in rows], pa.decimal128(9, 2)),
    "word": pa.array([f"row {n}" for n in rows]),
})
folder = pathlib.Path(sys.argv[1])


def write(name, packing, page="1.0", checksum=True):
    pq.write_table(table, folder / name, compression=packing, data_page_version=page, row_group_size=40,
                   store_decimal_as_integer=True, write_page_checksum=checksum)


write("pyarrow.parquet", "snappy", checksum=False)
for packing in ["none", "zstd", "gzip", "lz4", "brotli"]:
    write(f"pyarrow_{packing}.parquet", packing)
for packing in ["snappy", "zstd", "gzip", "lz4"]:
    write(f"pyarrow_{packing}_v2.parquet", packing, "2.0")
