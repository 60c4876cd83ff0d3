"""The run of the show as PDF pages: the rundown on the first sheet, then each item with its start in the margin."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache
from html import escape
from pathlib import Path
from typing import Any

import reportlab
from reportlab.lib.colors import HexColor
from reportlab.lib.enums import TA_CENTER, TA_RIGHT
from reportlab.lib.pagesizes import A4
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.pdfbase.pdfmetrics import getFont, registerFont, registerFontFamily
from reportlab.pdfbase.ttfonts import TTFont
from reportlab.pdfgen.canvas import Canvas
from reportlab.platypus import (
    BaseDocTemplate,
    CondPageBreak,
    Flowable,
    Frame,
    PageBreak,
    PageTemplate,
    Paragraph,
    Spacer,
    Table,
    TableStyle,
)

from triage.episode.forms import KIND_WORDS, facts_of, told_earlier
from triage.episode.show import Running, Show, names_unsaid, pieces_of
from triage.output.pages import clock

INK, SOFT, RULE, GAP_GROUND = (
    HexColor("#1d1b17"),
    HexColor("#5c5546"),
    HexColor("#b5aa8f"),
    HexColor("#f6efdc"),
)
SIDE, TOP, FOOT, MARGIN = 18 * mm, 17 * mm, 19 * mm, 20 * mm
"""MARGIN is the column at the left in which the starts stand, and where notes can be written."""
TEXT_WIDTH = A4[0] - 2 * SIDE - MARGIN
BETWEEN_ITEMS = 22
MISSING = "□"
"""Stands for a sign that the font has no picture of."""
_FONT_FOLDERS = (Path("/usr/share/fonts"), Path("/usr/local/share/fonts"))
_FACES = ("", "-Bold", "-Italic", "-BoldItalic")
_OWN_FACES = ("Vera.ttf", "VeraBd.ttf", "VeraIt.ttf", "VeraBI.ttf")


@dataclass(frozen=True, slots=True)
class Fonts:
    """The names of the faces that a page is set in, as reportlab knows them."""

    text: str
    bold: str
    italic: str
    label: str


@lru_cache(maxsize=1)
def fonts() -> Fonts:
    """DejaVu where Debian's package lies on the machine, else the family that the PDF library brings with it."""
    serif = [_found(f"DejaVuSerif{face}.ttf") for face in _FACES]
    sans = _found("DejaVuSans-Bold.ttf")
    if sans is not None and all(serif):
        return _registered([path for path in serif if path is not None], sans)
    own = [Path(reportlab.__file__).parent / "fonts" / name for name in _OWN_FACES]
    return _registered(own, own[1])


def _found(name: str) -> Path | None:
    for folder in _FONT_FOLDERS:
        if folder.is_dir():
            for path in sorted(folder.rglob(name)):
                return path
    return None


def _registered(faces: list[Path], label: Path) -> Fonts:
    names = [f"show-{path.stem}" for path in [*faces, label]]
    for name, path in zip(names, [*faces, label], strict=True):
        registerFont(TTFont(name, str(path)))
    text, bold, italic, both, label_name = names
    registerFontFamily(text, normal=text, bold=bold, italic=italic, boldItalic=both)
    return Fonts(text, bold, italic, label_name)


class _Styles:
    def __init__(self, faces: Fonts) -> None:
        def style(name: str, size: float, leading: float, **other: Any) -> ParagraphStyle:
            set_in: dict[str, Any] = {"fontName": faces.text, "textColor": INK} | other
            return ParagraphStyle(name, fontSize=size, leading=leading, **set_in)

        self.head = style("head", 24, 28, fontName=faces.bold)
        self.title = style("title", 14.5, 18, fontName=faces.bold)
        self.at = style("at", 13, 18, fontName=faces.label)
        self.facts = style("facts", 9.5, 13, textColor=SOFT)
        self.said = style("said", 12, 18.5, spaceAfter=8, allowWidows=0, allowOrphans=0)
        self.gap = style(
            "gap", 11, 15.5, fontName=faces.italic, backColor=GAP_GROUND, borderColor=SOFT, borderWidth=0.6,
            borderPadding=(5, 7, 6, 7), leftIndent=8, rightIndent=8, spaceBefore=14, spaceAfter=15,
        )  # fmt: skip
        self.link = style(
            "link", 10.5, 14, fontName=faces.italic, textColor=SOFT, alignment=TA_CENTER,
            spaceBefore=BETWEEN_ITEMS, keepWithNext=1,
        )  # fmt: skip
        self.row = style("row", 11, 14)
        self.row_at = style("row-at", 10.5, 14, fontName=faces.label)
        self.row_end = style("row-end", 10.5, 14, textColor=SOFT, alignment=TA_RIGHT)
        self.section = style(
            "section", 12.5, 16, fontName=faces.bold, spaceBefore=12, spaceAfter=3, keepWithNext=1
        )
        self.listed = style("listed", 10.5, 14.5, leftIndent=10, bulletIndent=0)


class _At(Flowable):
    """A bookmark and an entry of the outline at the place where an item begins."""

    def __init__(self, key: str, title: str) -> None:
        super().__init__()
        self.key, self.title = key, title
        self.width = self.height = 0.0

    def wrap(self, *_: float) -> tuple[float, float]:
        """No room is taken."""
        return 0.0, 0.0

    def draw(self) -> None:
        """Mark the place."""
        self.canv.bookmarkPage(self.key)
        self.canv.addOutlineEntry(self.title, self.key)


def as_pdf(show: Show) -> bytes:
    """The run of the show as a PDF on A4; the same show gives the same bytes.

    A sign that the font has no picture of (an emoji, say) is printed as an empty box.
    """
    faces = fonts()
    out = io.BytesIO()
    words = f"The run of the show, {show.day}" if show.day else "The run of the show"
    document = BaseDocTemplate(out, pagesize=A4, title=words, author="Quillstem", lang="en", invariant=1)
    frame = Frame(
        SIDE,
        FOOT,
        A4[0] - 2 * SIDE,
        A4[1] - TOP - FOOT,
        leftPadding=0,
        rightPadding=0,
        topPadding=0,
        bottomPadding=0,
    )
    document.addPageTemplates(PageTemplate("sheet", [frame]))
    document.build(list(_flow(show, _Styles(faces), faces)), canvasmaker=_numbered(words, faces))
    return out.getvalue()


def _flow(show: Show, styles: _Styles, faces: Fonts) -> Iterator[Flowable]:
    def set_in(text: str, style: ParagraphStyle) -> Paragraph:
        return Paragraph(_markup(text, style.fontName), style)

    yield set_in("The run of the show", styles.head)
    yield Spacer(0, 3)
    told = [
        show.day,
        f"{len(show.items)} items",
        f"{clock(show.total_seconds)} min",
        f"{show.pace:g} words a minute",
    ]
    yield set_in(" · ".join(filter(None, told)), styles.facts)
    yield Spacer(0, 10)
    if show.items:
        yield _rundown(show, styles)
    yield from _lists(show, styles)
    if show.items:
        yield PageBreak()
    for number, running in enumerate(show.items, 1):
        yield from _item(number, running, show, styles, faces)


def _rundown(show: Show, styles: _Styles) -> Table:
    rows = []
    for number, running in enumerate(show.items, 1):
        title = _markup(_shortened(running.item.title), styles.row.fontName)
        kind = "" if running.item.kind == "question" else f" <i>{KIND_WORDS[running.item.kind]}</i>"
        rider = _markup(_shortened(running.item.rider or "", 60), styles.row.fontName)
        rows.append(
            [
                Paragraph(clock(running.starts_at), styles.row_at),
                Paragraph(f'<a href="#item-{number}" color="#1d1b17">{title}</a>{kind}', styles.row),
                Paragraph(rider, styles.row_end),
                Paragraph(clock(running.seconds), styles.row_end),
            ]
        )
    width = A4[0] - 2 * SIDE
    table = Table(rows, colWidths=[16 * mm, width - 16 * mm - 28 * mm - 14 * mm, 28 * mm, 14 * mm])
    rules = (("LINEABOVE", (0, 0), (-1, 0), 1.4, INK), ("LINEBELOW", (0, 0), (-1, -1), 0.5, RULE))
    table.setStyle(_bare(*rules, above=4, below=5))
    return table


def _lists(show: Show, styles: _Styles) -> Iterator[Flowable]:
    props = [f"{prop} ({', '.join(map(str, places))})" for prop, places in show.props]
    pictures = [
        f"{name}, from {rider} ({place})" if rider else f"{name} ({place})"
        for name, rider, place in show.pictures
    ]
    if props:
        yield Paragraph("On set", styles.section)
        yield _in_two_columns([_listed(_shortened(prop), styles) for prop in props])
    for title, lines in (("Pictures to show", pictures), ("Ask the viewers", list(show.calls))):
        if lines:
            yield Paragraph(title, styles.section)
            for line in lines:
                yield _listed(line, styles)


def _listed(text: str, styles: _Styles) -> Paragraph:
    return Paragraph(_markup(text, styles.listed.fontName), styles.listed, bulletText="–")


def _in_two_columns(lines: list[Paragraph]) -> Table:
    """The lines, read down the first column and then down the second; a long table may go on to the next sheet."""
    half = (len(lines) + 1) // 2
    left, right = lines[:half], [*lines[half:], *[""] * (2 * half - len(lines))]
    width = A4[0] - 2 * SIDE
    table = Table(
        [[one, "", other] for one, other in zip(left, right, strict=True)],
        [width / 2 - 10, 20, width / 2 - 10],
    )
    table.setStyle(_bare())
    return table


def _bare(*more: tuple[Any, ...], above: float = 0, below: float = 0) -> TableStyle:
    return TableStyle(
        [
            ("VALIGN", (0, 0), (-1, -1), "TOP"),
            ("LEFTPADDING", (0, 0), (-1, -1), 0),
            ("RIGHTPADDING", (0, 0), (-1, -1), 0),
            ("TOPPADDING", (0, 0), (-1, -1), above),
            ("BOTTOMPADDING", (0, 0), (-1, -1), below),
            *more,
        ]
    )


def _item(number: int, running: Running, show: Show, styles: _Styles, faces: Fonts) -> Iterator[Flowable]:
    item = running.item
    # A heading with fewer than a few lines of its script under it is better off on the next sheet.
    yield CondPageBreak(60 * mm)
    if item.link:
        yield Paragraph(f"Link, if you like it: “{_markup(item.link, faces.italic)}”", styles.link)
    yield _At(f"item-{number}", f"{clock(running.starts_at)} {item.title}")
    yield _heading(running, styles, faces)
    for told in _beside(running, show):
        yield _set_off(Paragraph(_markup(told, styles.facts.fontName), styles.facts))
    yield Spacer(0, 7)
    for paragraph in pieces_of(running):
        yield from _script(paragraph, styles, faces)
    if running.related:
        told = "; ".join(map(told_earlier, running.related))
        yield _set_off(Paragraph(_markup(f"Told earlier: {told}", styles.facts.fontName), styles.facts))


def _heading(running: Running, styles: _Styles, faces: Fonts) -> Table:
    table = Table(
        [
            [
                Paragraph(clock(running.starts_at), styles.at),
                Paragraph(_markup(_shortened(running.item.title), faces.bold), styles.title),
            ]
        ],
        colWidths=[MARGIN, TEXT_WIDTH],
    )
    table.setStyle(_bare(("LINEABOVE", (0, 0), (-1, 0), 1.4, INK), above=5, below=1))
    # Space before is left out at the top of a sheet, unlike a spacer.
    table.spaceBefore = 6 if running.item.link else BETWEEN_ITEMS
    table.keepWithNext = True
    return table


def _beside(running: Running, show: Show) -> Iterator[str]:
    item = running.item
    question = [item.question_id] if item.question_id else []
    yield " · ".join([str(item.place), *facts_of(running), *question])
    pictures, props = show.pictures_at(item.place), show.props_at(item.place)
    if pictures:
        yield f"Show: {', '.join(pictures)}"
    if props:
        yield f"At hand: {', '.join(props)}"
    for name, how in names_unsaid(running):
        yield f"{name}: say {how}"


def _script(paragraph: list[Any], styles: _Styles, faces: Fonts) -> Iterator[Flowable]:
    """A paragraph as it is said; a gap that is the presenter's stands in a box of its own."""
    said = ""
    for kind, text in paragraph:
        if kind == "gap":
            if said.strip():
                yield _set_off(Paragraph(said, styles.said))
            said = ""
            yield _set_off(Paragraph(_markup(text[1:-1], faces.italic), styles.gap))
        elif kind == "note":
            said += f' <i><font color="#5c5546">(say {_markup(text, faces.italic)})</font></i>'
        else:
            said += _markup(text, faces.text)
    if said.strip():
        yield _set_off(Paragraph(said, styles.said))


def _set_off(paragraph: Paragraph) -> Paragraph:
    """The paragraph beside the margin in which the starts stand."""
    paragraph.style = paragraph.style.clone(
        f"{paragraph.style.name}-off", leftIndent=paragraph.style.leftIndent + MARGIN
    )
    return paragraph


def _shortened(text: str, most: int = 200) -> str:
    """The text, cut where a cell would outgrow its sheet."""
    return text if len(text) <= most else f"{text[: most - 1].rstrip()}…"


def _markup(text: str, face: str) -> str:
    """A text as the library's markup, its signs escaped, and a box for each sign that the face cannot draw."""
    font: Any = getFont(face)
    drawn = font.face.charToGlyph
    plain = re.sub(r"[^\S\n]+", " ", re.sub(r"[\x00-\x08\x0b-\x1f\x7f\u200d\ufe0f]", "", text))
    shown = "".join(sign if sign.isspace() or ord(sign) in drawn else MISSING for sign in plain)
    return escape(shown, quote=False).replace("\n", "<br/>")


def _numbered(words: str, faces: Fonts) -> type[Canvas]:
    class Numbered(Canvas):
        """Sheets that say at their foot which of how many they are."""

        def __init__(self, *arguments: Any, **named: Any) -> None:
            super().__init__(*arguments, **named)
            self._sheets: list[dict[str, Any]] = []

        def showPage(self) -> None:  # noqa: N802 - the library's own name
            """Keep the sheet until their number is known."""
            self._sheets.append(dict(self.__dict__))
            self._startPage()  # type: ignore[attr-defined] # what the stubs leave out; it begins a sheet without writing one

        def save(self) -> None:
            """Write all sheets, each with its foot."""
            for number, sheet in enumerate(self._sheets, 1):
                self.__dict__.update(sheet)
                self.setFont(faces.text, 8.5)
                self.setFillColor(SOFT)
                self.drawString(SIDE, 10 * mm, words)
                self.drawRightString(A4[0] - SIDE, 10 * mm, f"{number} of {len(self._sheets)}")
                super().showPage()
            super().save()

    return Numbered
