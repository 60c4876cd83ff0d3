"""HTML to the text a reader sees: for mails without a plain part and for tags in comment exports."""

from __future__ import annotations

import re
from html import unescape
from itertools import islice

from selectolax.lexbor import LexborHTMLParser, LexborNode

from triage.read.bounds import LONGEST_BODY_CHARACTERS, LONGEST_HTML_TAG_CHARACTERS, MOST_HTML_TAGS

# Characters that are none (Unicode sets them aside) stand in the text until the tree is gone.
LINE, PARAGRAPH, BREAK = "\ufdd0", "\ufdd1", "\ufdd2"
HIDDEN, HIDDEN_END, QUOTE, QUOTE_END = "\ufdd3", "\ufdd4", "\ufdd5", "\ufdd6"
_MARKS = re.compile("[\ufdd0-\ufdd6]")

_UNSEEN_TAGS = [
    "head",
    "script",
    "style",
    "title",
    "template",
    "noscript",
    "object",
    "svg",
    "select",
    "textarea",
]
_PERHAPS_UNSEEN = (
    "[hidden], [style*='display' i], [style*='visibility' i], [style*='font-size' i], [style*='max-height' i]"
)
_UNSEEN_WORDS = ("hidden", "display", "font-size", "max-height")
_UNSEEN_STYLE = re.compile(
    r"(?<![\w-])(?:display\s{0,9}:\s{0,9}none|visibility\s{0,9}:\s{0,9}(?:hidden|collapse)"
    r"|(?:font-size|max-height)\s{0,9}:\s{0,9}0(?!\.?\d*[1-9]))",
    re.IGNORECASE,
)
_INDENT = re.compile(r"border(?:-left)?:\s?(?:none|0)", re.IGNORECASE)

_BLOCKS = (
    "address article aside blockquote center dd div dl dt fieldset figcaption figure footer form header hr li main "
    "nav ol pre section ul"
)
# Text between cells or rows is moved out of the table by the parser: a row's mark goes into a cell of its own.
_BEFORE_CLOSING = {"td": " ", "th": " ", "tr": f"<td>{LINE}</td>"}


def _tag_marks() -> dict[str, str]:
    marks = dict.fromkeys(_BLOCKS.split(), LINE) | dict.fromkeys(
        ("p", *(f"h{n}" for n in range(1, 7))), PARAGRAPH
    )
    starts = {f"<{tag}": f"{mark}<{tag}" for tag, mark in (marks | {"br": BREAK}).items()}
    ends = {f"</{tag}": f"{mark}</{tag}" for tag, mark in (marks | _BEFORE_CLOSING).items()}
    return {written: mark for tag, mark in (starts | ends).items() for written in (tag, tag.upper())}


_TAG_MARKS = _tag_marks()
_TAG = re.compile(r"</?[a-zA-Z][a-zA-Z0-9]*")
_PRE = re.compile(r"(</?pre\b[^<>]*>)", re.IGNORECASE)
_LONG_TAG = re.compile(rf"<(/?[a-zA-Z][a-zA-Z0-9]{{0,20}})[^<>]{{{LONGEST_HTML_TAG_CHARACTERS},}}(?:>|$)")
_MARK_RUN = re.compile(f"[{LINE}{PARAGRAPH}{BREAK}](?: ?[{LINE}{PARAGRAPH}{BREAK}])*")


def html_to_text(html: str, *, quotes: bool = False) -> str:
    """The text that a reader of the page sees, one line a block; quoted earlier mail left as one `>` line.

    With `quotes` the quoted mail is kept, each of its lines as it stands.

    >>> html_to_text("<p>My rim is <b>23</b>&nbsp;mm</p><style>p{}</style><p>ok?")
    'My rim is 23 mm\\n\\nok?'
    """
    tree = LexborHTMLParser(_marked_up(html))
    tree.strip_tags(_UNSEEN_TAGS)
    lowered = html.lower()
    if any(words in lowered for words in _UNSEEN_WORDS):
        for node in tree.css(_PERHAPS_UNSEEN):
            style = node.attributes.get("style") or ""
            if "hidden" in node.attributes or _UNSEEN_STYLE.search(style) is not None:
                node.insert_before(HIDDEN)
                node.insert_after(HIDDEN_END)
    if not quotes and "quote" in lowered:
        # The box around a reply may hold the rider's own lines between the quotes: the quotes come first.
        for node in tree.css("blockquote") or tree.css("div[class*='quote' i]"):
            if node.tag != "blockquote" or not _is_indent(node):
                node.insert_before(QUOTE)
                node.insert_after(QUOTE_END)
    root = tree.body or tree.root
    text = root.text(deep=True, separator="", strip=False) if root is not None else ""
    text = _without(text, HIDDEN, HIDDEN_END, "")
    text = _without(text, QUOTE, QUOTE_END, f"{LINE}>{LINE}")
    return _laid_out(text)


def _is_indent(blockquote: LexborNode) -> bool:
    attributes = blockquote.attributes
    if attributes.get("type") == "cite" or attributes.get("class"):
        return False
    return _INDENT.search(attributes.get("style") or "") is not None


def is_cut(html: str) -> bool:
    """Whether a page is longer than is read of it."""
    return len(html) > LONGEST_BODY_CHARACTERS or html.count("<") > MOST_HTML_TAGS


def _marked_up(html: str) -> str:
    html = _MARKS.sub("", html[:LONGEST_BODY_CHARACTERS])
    if html.count("<") > MOST_HTML_TAGS:
        last = next(islice(re.finditer("<", html), MOST_HTML_TAGS, None))
        html = html[: last.start()]
    if len(html) > LONGEST_HTML_TAG_CHARACTERS:
        html = _LONG_TAG.sub(r"<\1>", html)
    if "</pre" in html or "</PRE" in html:
        html = _with_lines_kept(html)
    return _TAG.sub(lambda tag: _TAG_MARKS.get(tag[0], tag[0]), html)


def _with_lines_kept(html: str) -> str:
    pieces = _PRE.split(html)
    within = False
    for place, piece in enumerate(pieces):
        if place % 2:
            within = not piece.startswith("</")
        elif within:
            pieces[place] = piece.replace("\n", BREAK)
    return "".join(pieces)


def _without(text: str, start: str, end: str, instead: str) -> str:
    if start not in text:
        return text
    kept: list[str] = []
    depth = 0
    for piece in re.split(f"([{start}{end}])", text):
        if piece == start:
            if depth == 0:
                kept.append(instead)
            depth += 1
        elif piece == end:
            depth = max(0, depth - 1)
        elif depth == 0:
            kept.append(piece)
    return "".join(kept)


def _laid_out(text: str) -> str:
    text = _MARK_RUN.sub(_line_breaks, " ".join(text.split()))
    return text.replace(" \n", "\n").replace("\n ", "\n").strip()


def _line_breaks(run: re.Match[str]) -> str:
    marks = run[0]
    if PARAGRAPH in marks:
        return "\n\n"
    breaks = marks.count(BREAK) + (LINE in marks)
    return "\n" if breaks == 1 else "\n\n"


_TAG_BREAK = re.compile(r"<br\s*(?:/\s*)?>|</?(?:p|div|li|ul|ol)\s*>", re.IGNORECASE)
_TAG_INLINE = re.compile(
    r"</?(?:b|i|u|s|em|strong|span|code|a)\s*/?>|<(?:a|span|img|p|div)\s+[a-z-]+\s*=[^<>]*>", re.IGNORECASE
)
_ENTITY = re.compile(r"&(?:#[0-9]{1,7}|#[xX][0-9a-fA-F]{1,6}|[A-Za-z][A-Za-z0-9]{1,30});")


def plain_comment(text: str) -> str:
    """A comment with the entities and the few tags that exports leave in it undone; other angles stay.

    >>> plain_comment("Don&#39;t &amp; won&#39;t<br>fit: 25 <b>mm</b> <3 if a<b and c>d")
    "Don't & won't\\nfit: 25 mm <3 if a<b and c>d"
    """
    if "<" in text:
        text = _TAG_INLINE.sub("", _TAG_BREAK.sub("\n", text))
    if "&" in text:
        text = _ENTITY.sub(lambda entity: unescape(entity[0]), text)
    return text
