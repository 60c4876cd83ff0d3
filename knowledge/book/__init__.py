"""The handbook: every calculation, table and brief as web pages that can be searched and hung on the wall."""

from knowledge.book.write import write_book

__all__ = ["write_book"]
