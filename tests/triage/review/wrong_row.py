"""A desk's own folder in which one published figure was typed wrongly, for what must be recalled because of it."""

from __future__ import annotations

import csv
from pathlib import Path

from knowledge import tables

TABLE = "drivetrain/chain_wear_limits"
ROW = f"{TABLE}#wear-11-12"
RIGHT, WRONG = 0.5, 1.0
"""The wear of a chain for 11 and 12 speeds at which it is to be changed, in percent."""


def with_the_wrong_row(home: Path) -> Path:
    """The folder, made within `home`; all else in it is as we ship it."""
    row = next(dict(one) for one in tables.rows(TABLE) if one["id"] == ROW.partition("#")[2])
    file = home / "own" / "tables" / f"{TABLE}.csv"
    file.parent.mkdir(parents=True)
    with file.open("w", newline="", encoding="utf-8") as text:
        writer = csv.DictWriter(text, row)
        writer.writeheader()
        writer.writerow({**row, "chain_wear_limit_pct": WRONG})
    return home / "own"
