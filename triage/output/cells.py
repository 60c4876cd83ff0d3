"""Cells of a table for a spreadsheet, none of which it would run."""

from __future__ import annotations

FORMULA_STARTS = ("=", "+", "-", "@", "＝", "＋", "－", "＠", "\t", "\r", "\n")
"""The full-width signs too: some spreadsheets take them for the plain ones."""
_PASSED_OVER = ' \u00a0\u3000\ufeff"'
"""Blanks and quotation marks that an import may drop before it looks for a formula."""


def safe_cell(text: str) -> str:
    """The text, or with an apostrophe before it where a spreadsheet would run it as a formula.

    >>> safe_cell("=1+1"), safe_cell(' "＝1+1'), safe_cell("plain"), safe_cell('"plain"')
    ("'=1+1", '\\' "＝1+1', 'plain', '"plain"')
    """
    return f"'{text}" if text.lstrip(_PASSED_OVER).startswith(FORMULA_STARTS) else text
