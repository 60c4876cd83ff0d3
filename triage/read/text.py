"""Bytes to clean characters, whatever their label says."""

from __future__ import annotations

import binascii
import codecs
import re
from functools import lru_cache
from string import ascii_letters

from charset_normalizer import from_bytes

LABEL_MEANS = {
    # Senders label text with an older, smaller character set than the one they used.
    "ascii": "cp1252",
    "iso8859-1": "cp1252",
    "iso8859-9": "cp1254",
    "gb2312": "gb18030",
    "gbk": "gb18030",
    "shift_jis": "cp932",
    "euc_kr": "cp949",
    "big5": "cp950",
}
NOT_CHARACTER_SETS = frozenset(
    {"unicode_escape", "raw_unicode_escape", "raw-unicode-escape", "unicode-escape"}
    | {"punycode", "idna", "undefined", "mbcs", "oem"}
)
SEVERAL_BYTES = re.compile(r"^(?:gb|cp9[345]|big5|euc|shift|johab|iso2022|hz|utf)")
ASCII_HAS_OTHER_MEANING = re.compile(r"^(?:iso2022|hz|utf-7|utf-16|utf-32)")
ORDER_MARKS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
WESTERN_ACCENTS_AT_MOST = 0.4
"""Share of accented letters above which bytes are no Western language. (Common practice: French has 0.05.)"""
GUESSED_FROM_BYTES = 8_192
_ASCII = bytes(range(128))
_ASCII_LETTERS = ascii_letters.encode()
_CONTROLS = bytes(byte for byte in range(32) if byte not in b"\0\t\n\r\f\x1b")

_WINDOWS_1252 = bytes(range(256)).decode("cp1252", "replace")
MIXED = "quillstem-windows-1252"
"""Error handler: a byte that is not UTF-8 is read as Windows-1252, so a file may hold both."""


def _as_windows_1252(fault: UnicodeError) -> tuple[str, int]:
    if not isinstance(fault, UnicodeDecodeError):
        raise fault
    return "".join(map(_WINDOWS_1252.__getitem__, fault.object[fault.start : fault.end])), fault.end


codecs.register_error(MIXED, _as_windows_1252)


@lru_cache(maxsize=256)
def character_set(label: str) -> str | None:
    """The decoder that a label stands for; None where it names none.

    >>> character_set("ISO-8859-1"), character_set("x-unknown")
    ('cp1252', None)
    """
    try:
        name = codecs.lookup(label.strip().strip("\"'")).name
    except (LookupError, ValueError):
        return None
    if name in NOT_CHARACTER_SETS:
        return None
    return LABEL_MEANS.get(name, name)


def decode(data: bytes, label: str | None = None) -> str:
    """The characters of some bytes: by their label where it fits, else by what they look like.

    >>> decode("Gruß".encode(), "iso-8859-1"), decode("Gruß".encode("cp1252"), "utf-8")
    ('Gruß', 'Gruß')
    """
    name = character_set(label) if label else None
    if data.isascii() and (name is None or not ASCII_HAS_OTHER_MEANING.match(name)):
        return data.decode("ascii")
    if name is None:
        return guess(data)
    if name.startswith(("utf-16", "utf-32")) and b"\0" not in data:
        return guess(data)
    if not SEVERAL_BYTES.match(name):
        # Text that happens to be whole UTF-8 is UTF-8: one-byte sets accept anything and prove nothing.
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError:
            pass
    try:
        return data.decode(name)
    except (UnicodeError, LookupError):
        return guess(data)


def guess(data: bytes) -> str:
    """The characters of unlabelled bytes: UTF-8, else Windows-1252, else what their statistics say."""
    name = guess_character_set(data)
    return data.decode(name, MIXED if name == "utf-8" else "replace")


def guess_character_set(data: bytes) -> str:
    """The likeliest character set of some bytes; `utf-8` also where stray bytes need `MIXED`."""
    try:
        data.decode("utf-8")
    except UnicodeDecodeError as fault:
        if fault.end >= len(data) and fault.reason.startswith("unexpected end"):
            return "utf-8"
    else:
        return "utf-8"
    read_as_utf_8 = data.decode("utf-8", "replace")
    strays = read_as_utf_8.count("\ufffd")
    wide = len(read_as_utf_8) - len(read_as_utf_8.encode("ascii", "ignore")) - strays
    if wide > strays or _looks_western(data):
        return "utf-8"
    best = from_bytes(data[:GUESSED_FROM_BYTES]).best()
    name = character_set(best.encoding) if best is not None else None
    if name is None or name == "cp1252":
        return "utf-8"
    return name


def _looks_western(data: bytes) -> bool:
    high = len(data.translate(None, _ASCII))
    letters = len(data) - len(data.translate(None, _ASCII_LETTERS))
    return high <= WESTERN_ACCENTS_AT_MOST * (high + letters)


def file_encoding(head: bytes) -> tuple[str, int] | None:
    """A text file's encoding and the length of its byte order mark; None where the file is not text.

    >>> file_encoding(b"plain"), file_encoding("é".encode("utf-16-le") * 9), file_encoding(b"\\0\\1\\2\\3" * 9)
    (('utf-8', 0), ('utf-16-le', 0), None)
    """
    for mark, name in ORDER_MARKS:
        if head.startswith(mark):
            return name, len(mark)
    if b"\0" in head:
        name_16 = _unmarked_utf_16(head)
        if name_16 is not None:
            return name_16, 0
        if head.count(0) > max(2, len(head) // 200):
            return None
    controls = len(head) - len(
        head.translate(None, bytes(b for b in range(32) if b not in b"\t\n\r\f\x1b\0"))
    )
    if controls > max(1, len(head) // 50):
        return None
    return guess_character_set(head), 0


def _unmarked_utf_16(head: bytes) -> str | None:
    pairs = len(head) // 2
    zero_first, zero_second = head[0 : pairs * 2 : 2].count(0), head[1 : pairs * 2 : 2].count(0)
    for name, zeros, others in (
        ("utf-16-le", zero_second, zero_first),
        ("utf-16-be", zero_first, zero_second),
    ):
        # Some letters have a zero in their other byte (Ā is one), but few among the rest.
        if others > zeros // 4 or zeros < max(1, pairs // 50):
            continue
        text = head[: pairs * 2].decode(name, "replace")
        odd = sum(not (character.isprintable() or character.isspace()) for character in text)
        if text.count("\ufffd") + odd <= max(1, len(text) // 50):
            return name
    return None


_UNWANTED = re.compile(
    "[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\xad\u200b\u2028-\u202e\u2066-\u2069\ufeff\ufdd0-\ufdef\ufffe\uffff\ud800-\udfff]"
)
_SURROGATE = re.compile("[\ud800-\udfff]")
_DROPPED = (
    *(*range(9), *range(14, 32), *range(127, 160)),  # control characters
    *(0xAD, 0x200B, 0xFEFF),  # soft hyphen, space of no width, byte order mark
    *(*range(0x202A, 0x202F), *range(0x2066, 0x206A)),  # turn the direction of writing
    *(*range(0xFDD0, 0xFDF0), 0xFFFE, 0xFFFF),  # not characters at all
)
_LINE_BREAKS = dict.fromkeys((0x0B, 0x0C, 0x85, 0x2028, 0x2029), "\n")
_CLEANING: dict[int, str | None] = {**dict.fromkeys(_DROPPED), **_LINE_BREAKS}


def clean(text: str) -> str:
    """The text with line feeds alone for line breaks, and nothing that a file, page or database refuses.

    >>> clean("a\\r\\nb\\0\\ud800")
    'a\\nb\ufffd'
    """
    if "\r" in text:
        text = text.replace("\r\n", "\n").replace("\r", "\n")
    if text.isascii() and text.isprintable():
        return text
    if _UNWANTED.search(text) is None:
        return text
    if _SURROGATE.search(text) is not None:
        # A pair in two halves is one character; a half alone is none.
        text = text.encode("utf-16-le", "surrogatepass").decode("utf-16-le", "replace")
    return text.translate(_CLEANING)


def one_line(text: str, longest: int) -> str:
    """The text on one line, runs of spaces as one, cut to a length: for names, subjects and ids.

    >>> one_line(" Ana\\u2028 Bcc: all\\r\\n", 200)
    'Ana Bcc: all'
    """
    return " ".join(clean(text[: longest * 4]).split())[:longest].rstrip()


_ENCODED_WORD = re.compile(r"=\?([^?\s*]{1,40})(?:\*[^?\s]{0,40})?\?([bBqQ])\?([^?]*)\?=")


def decode_header(raw: str) -> str:
    """A mail header's characters: encoded words undone, bare bytes read by what they look like.

    >>> decode_header("=?utf-8?q?Gru=C3=9F?= =?utf-8?b?IGF1cw==?= Ulm")
    'Gruß aus Ulm'
    """
    if "=?" not in raw:
        return _bare(raw)
    pieces: list[str] = []
    waiting: tuple[str, bytes] | None = None
    position = 0
    for word in _ENCODED_WORD.finditer(raw):
        between = raw[position : word.start()]
        label, data = word[1].lower(), _word_bytes(word[2], word[3])
        position = word.end()
        if waiting is not None and not between.strip():
            # A character may begin in one word and end in the next.
            if waiting[0] == label:
                waiting = (label, waiting[1] + data)
                continue
            between = ""
        if waiting is not None:
            pieces.append(decode(waiting[1], waiting[0]))
        pieces.append(_bare(between))
        waiting = (label, data)
    if waiting is not None:
        pieces.append(decode(waiting[1], waiting[0]))
    pieces.append(_bare(raw[position:]))
    return "".join(pieces)


def _bare(raw: str) -> str:
    return raw if raw.isascii() else decode(raw.encode("utf-8", "surrogateescape"))


def _word_bytes(form: str, encoded: str) -> bytes:
    data = encoded.encode("utf-8", "surrogateescape")
    if form in "qQ":
        return binascii.a2b_qp(data.replace(b" ", b"_"), header=True)
    return from_base64(data)


_NOT_BASE64 = re.compile(rb"[^A-Za-z0-9+/]")


def from_base64(data: bytes) -> bytes:
    """The bytes that base64 text stands for, as far as it goes where it is cut or damaged."""
    try:
        return binascii.a2b_base64(data)
    except binascii.Error:
        kept = _NOT_BASE64.sub(b"", data)
        kept = kept[: len(kept) - (len(kept) % 4 == 1)]
        return binascii.a2b_base64(kept + b"=" * (-len(kept) % 4))
