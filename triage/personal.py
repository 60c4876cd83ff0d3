"""Personal data inside free text: surnames, mail addresses, telephone numbers and postal addresses, found and hidden."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache

from triage.read.names import AFTER_NAME, COURTESY, NOT_NAMES, PARTICLES, TITLES, TRADE_WITHIN
from triage.trade_words import speaks_of_a_bicycle

MASK = "•"
LEFT_OUT = "[left out]"
SOMEBODY = "a viewer"
_Span = tuple[int, int]


def _words(*lines: str) -> frozenset[str]:
    return frozenset(word for line in lines for word in line.split())


_EVERYDAY = NOT_NAMES | _words(
    # Surnames and first names that are words too. Their small letters, and their capital at the start of a sentence,
    # are far oftener the word.
    "black white green brown gray grey blue red silver gold golden orange violet amber long short young best good sharp "
    "strong swift small little moody noble bright bold wise wild rich stout fair hardy savage sweet smart frank quick dry "
    "early late light bliss wood woods stone hill brook brooks field fields lake marsh moor street lane banks bridge "
    "bridges church castle park parks ford forest bush rose flower flowers reed lamb fox bird crow swan drake finch hawk "
    "bell ball hook key keys post rope nail nails glass steel iron irons cotton silk leather case box barrel cage carter "
    "cook baker mason carpenter smith winter winters summer summers day may march april june july friday monday noon "
    "night knight prince bishop pope abbot page price rice bean berry pepper salt ginger will walker rush turner drive "
    "driver pull push pike cross hope love grace joy might bate head heads hand hands foot shoulder shoulders cheek ring "
    "rings rim stem seat spoke bolt bolts nut screw washer cone cup cap clip pin pins link links jockey rotor disc valve "
    "tape lever bar bars cable cog bearing mark grant rob pat bob jack art chase drew dale cliff guy ray rod miles max "
    "bill pierce lance skip chip dean earl heath clay flint ridge stark power powers field moss dawn eve faith iris ivy "
    "olive pearl ruby sandy stormy sunny joy penny carol heather holly hazel robin jay wren gene dot nick don rusty buck "
    "just only more than then when what which while about after before because between both could does each even every "
    "few get got had has have her here him his how if into its like made make many most much must new now off old one "
    "other out over own same she should some still such take them they too two under until use used was well were where "
    "why would yes yet lang kurz klein groß neu alt schwarz weiß grün braun rad kette",
)
_HUMP = re.compile(r"(?<=[a-zß-ÿ])(?=[A-Z])")
_TWO_LETTERS = {
    ord(letter): two
    for letter, two in zip("äöüÄÖÜß", ("ae", "oe", "ue", "Ae", "Oe", "Ue", "ss"), strict=True)
}
_FOLDED_OTHERWISE = frozenset("ſıİ\u212a")
"""What a pattern without regard to case takes for an s, an i or a k, though it is no capital of theirs."""
_NEVER_NAMES = COURTESY | TITLES | AFTER_NAME
_SHORT_NAME_LETTERS = 3
"""Names so short ("Li", "Lee") are treated like everyday words: "Li-ion" and "the lee side" are no riders."""
_EMBEDDED_LETTERS = 4
"""A surname of so many letters is looked for inside a link's and a mailbox's run-together words."""

_LINK = re.compile(r"(?:https?://|\bwww\.)(?P<host>[^\s/?#<>\"]+)(?P<rest>[/?#][^\s<>\"]*)?", re.IGNORECASE)
# Must not catch "28mm@5.5bar", "2 @ 6 bar": what ends a mail's host is letters alone.
_MAIL = re.compile(
    r"(?<![\w.+%'-])[\w.+%'-]+@(?:[\w-]+\.)+(?:xn--[\w-]+|[^\W\d_]{2,63})(?![\w@-])",
)

_GAP = r"(?:[ \u00a0]?[-–./()]{1,2}[ \u00a0]?|[ \u00a0])"
_DIGIT = re.compile(r"\d")
_FIGURES = re.compile(rf"(?<![\w.,/+•–-])(?:\+|\((?:\+|0))?\(?\d+(?:{_GAP}\d+)*(?![\w•]|[.,:]\d)")
_INTERNATIONAL = re.compile(r"\(?\+\(?(?:1[ .()\u00a0-]{0,2}[2-9]|[2-9])|00[1-9]\d")
_NORTH_AMERICAN = re.compile(r"(?:1[-. ])?(?:\(\d{3}\) ?|\d{3}[-. ])\d{3}[-. ]\d{4}")
_IN_PAIRS = re.compile(r"0\d(?:([ .-])\d\d)(?:\1\d\d){3}")
_AREA_AND_NUMBER = re.compile(r"\(?0\d{1,5}\)?(?:[ \u00a0/()–-]{0,3}\d{2,9}){0,5}")
# Must not be taken for a telephone: "01.02.2026", "2026-11-20", "07/2026-08/2026", "09.00-17.00".
_CALENDAR = re.compile(
    r"\b\d{1,2}[./-]\d{1,2}[./-](?:\d{4}|\d{2})\b|\b(?:19|20)\d\d-\d\d-\d\d\b|\b\d{1,2}/(?:19|20)\d\d\b|"
    r"\b\d\d\.\d\d ?[-–] ?\d\d\.\d\d\b"
)
_CALLS = re.compile(
    r"\b(?:tel(?:ephone|efon|\.|:)?|phone|ph[.:]|mobile|mob[.:]|cell ?phone|cell:|handy|fax|whatsapp|sms|"
    r"(?:call|ring|text|phone|reach) (?:me|us)|(?:my|our) number|meine nummer|rufnummer|rückruf)\b[^\n\d+(]{0,25}$",
    re.IGNORECASE,
)
_CODES = re.compile(
    r"\b(?:serial|frame|part|model|article|artikel|ean|isbn|sku|order|batch|stamped|code|codes|ref|reference|tracking|question|topic|thread|id|"
    r"rahmennummer|seriennummer|bestellnummer)\b[^\n\d]{0,25}$",
    re.IGNORECASE,
)
_UNIT = (
    r"\s?(?:mm|cm|km|m|in|inch|inches|kg|g|bar|psi|kpa|nm|w|wh|mah|v|rpm|lumens?|miles?|kilomet\w+|met(?:er|re)s?|"
    r"c|t|teeth|tooth|speed|spokes?|years?|days?|hours?|euros?|pounds?|dollars?|%|€|£|\$|°|[x×]\s?\d)(?![^\W_])"
)
_UNIT_NEXT = re.compile(_UNIT, re.IGNORECASE)
_LEAST_DIGITS, _MOST_DIGITS, _PLAIN_DIGITS, _OWN_DIGITS = 7, 15, 9, 9
"""A run with neither cue nor form of a telephone number needs `_PLAIN_DIGITS`; one with a leading 0, `_OWN_DIGITS`."""

_TITLED = r"[A-ZÀ-ÖØ-Þ][\w'’.-]*"
_STREET = (
    r"(?:Street|St|Road|Rd|Avenue|Ave|Lane|Ln|Drive|Dr|Close|Way|Court|Ct|Crescent|Cres|Place|Pl|Terrace|Square|Sq|"
    r"Gardens|Gdns|Grove|Mews|Boulevard|Blvd|Highway|Hwy|Parade|Walk|Row|Hill|Rise|street|avenue|lane)"
)
_FLAT = r"(?:(?:Flat|Apartment|Apt|Unit|Suite)\.? ?\d{1,4}[A-Za-z]?,? +)?"
# Must not catch "25 Grand Prix Road tyres", "11 Speed Drive train": `_is_street` looks at the words around.
_NUMBER_FIRST = re.compile(
    rf"(?<![\w.,/×+•-]){_FLAT}\d{{1,4}}[A-Za-z]?(?:[-/]\d{{1,4}})?,? (?P<name>(?:{_TITLED} ){{1,4}}?){_STREET}(?![\w'’-])"
)
_NUMBER_LAST = re.compile(
    rf"(?<![\w•-])(?P<name>(?:{_TITLED} ){{1,3}}?)(?P<kind>Street|Road|Avenue|Lane|Boulevard|Terrace|Crescent|Gardens|Drive|Way|Close)"
    r",? (?:No\.? ?)?\d{1,4}[a-z]?(?![\w/.,×•–-]*\d|\w)"
)
_GERMAN = re.compile(
    r"(?<![\w•-])(?:[A-ZÄÖÜ][\w-]*(?:straße|strasse|str\.|allee|gasse)|"
    r"(?P<name>(?:[A-ZÄÖÜ][\w.-]+ ){1,2})(?:Straße|Strasse|Str\.|Allee|Gasse))"
    r" ?(?:Nr\. ?)?\d{1,4} ?(?:[a-h](?!\w))?(?![\w/.,×•–-]*\d|\w)"
)
_NO_STREET_NAMES = _words(
    "die der das den dem des auf eine einer einen jede jeder gute schlechte nasse trockene the a an my our your this that "
    "speed pro comp race elite gravel trail cross grand prix disc carbon alloy rear front new series edition"
)
_AFTER_NO_STREET = _words(
    "bike bikes bicycle tyre tyres tire tires train trains side sides group groupset race racing use version model edition "
    "series set wheels wheel disc shifters shifter levers lever bar bars frame frames shoes pedals setup riding rides "
    "rider riders rim rims tubeless clincher mech cassette crankset"
)
_LIVES = re.compile(
    r"\b(?:liv(?:e|es|ing)|address|post(?:ed)?|send|deliver(?:ed)?|shop|home|house|based|come|visit|found|office)\b[^\n]{0,30}$",
    re.IGNORECASE,
)
_BRITISH = re.compile(r"(?<![\w•-])[A-Z]{1,2}\d[A-Z\d]? ?\d[ABD-HJLNP-UW-Z]{2}(?![\w-])")
_AMERICAN = re.compile(
    r"(?<=[a-z•.])(?P<comma>,? )(?:A[KLRZ]|C[AOT]|D[CE]|FL|GA|HI|I[ADLN]|K[SY]|LA|M[ADEINOST]|N[CDEHJMVY]|O[HKR]|PA|RI|"
    r"S[CD]|T[NX]|UT|V[AT]|W[AIVY]) (?P<code>\d{5}(?:-\d{4})?)(?![\w-])"
)
_CONTINENTAL = re.compile(r"(?<![\w.,+-])(?P<land>DE?-)?\d{5}(?= [A-ZÄÖÜ][a-zäöüß]{2,})")
_TOWN_BEFORE = re.compile(r"(?<![\w•])[A-Z][a-z'’-]{2,}(?:,|\.)?[ \n]{1,2}$")
_COMES_FROM = re.compile(
    r"\b(?:aus|from|(?:wohn\w*|leb\w*|liv\w*|based) in|plz:?|address:?|adresse:?) $", re.IGNORECASE
)
_NEAR_STREET = 40
"""A postcode stands so many characters behind its street at most, its town between them."""


def masked(text: str, author: str | None, rider: str | None, address: str | None) -> str:
    """The text, just as long, with each character of personal data as "•"; spaces and the rider's first name stay.

    Hidden are mail addresses, telephone numbers, street addresses with their postcodes, the surnames in `author`, and
    what follows the host of a link that contains one of the names. `rider` is the first name. Figures of bicycles, dates
    and codes of parts stay; where a word may be either, it stays.

    >>> masked("Ana Lindqvist, 28-622 at 5 bar", "Ana Lindqvist", "Ana", None)
    'Ana •••••••••, 28-622 at 5 bar'
    """
    who = _who(author, rider, address)
    # What is hidden may part what stood together, so it is looked at until nothing more is found.
    while (hidden := _masked_once(text, who)) != text:
        text = hidden
    return text


def without_personal(text: str, author: str | None, rider: str | None, address: str | None) -> str:
    """The text for reading out: each stretch that `masked` hides is replaced by "[left out]".

    >>> without_personal("Write to ana@riders.invalid, it creaks.", "Ana Lindqvist", "Ana", None)
    'Write to [left out], it creaks.'
    """
    hidden = masked(text, author, rider, address)
    if hidden == text:
        return text
    told, last = [], 0
    for start, end in _stretches(text, hidden):
        told += [text[last:start], LEFT_OUT]
        last = end
    return "".join(told) + text[last:]


def without_a_trace(text: str, author: str | None, rider: str | None, address: str | None) -> str:
    """As `without_personal`, and without the first name: a greeting loses it, elsewhere it becomes "a viewer".

    >>> without_a_trace("Hi Ana,", "Ana Lindqvist", "Ana", None)
    'Hello,'
    >>> without_a_trace("Ana writes: “It creaks.”", "Ana Lindqvist", "Ana", None)
    'A viewer writes: “It creaks.”'
    """
    told = _without_calls(text, rider, author)
    return without_personal(told, author, rider, address)


@dataclass(frozen=True)
class _Who:
    """One rider's names, and the patterns that find them, which most texts need not be put to."""

    rider: str | None
    first: str
    is_known: bool
    particles: tuple[str, ...]
    forms: tuple[str, ...]
    wholes: tuple[str, ...]

    def may_stand_in(self, text: str) -> bool:
        """Whether any surname, handle or run of names may stand in a text."""
        if self._needles is None or not _FOLDED_OTHERWISE.isdisjoint(text):
            return True
        lowered = text.lower()
        return any(needle in lowered for needle in self._needles)

    @cached_property
    def _needles(self) -> tuple[str, ...] | None:
        """The names in small letters; None where one holds letters that have more than two cases.

        One first name alone is left standing, and so it need not be looked for.
        """
        several = [self.rider] if self.rider and not _plain(self.rider).isalpha() else []
        names = (*self.forms, *self.wholes, *several)
        return tuple(name.lower() for name in names) if all(name.isascii() for name in names) else None

    @cached_property
    def one(self) -> re.Pattern[str] | None:
        """A surname."""
        return _any_of(self.forms)

    @cached_property
    def together(self) -> re.Pattern[str] | None:
        """Several of the names side by side."""
        named = [*self.forms, *([self.rider] if self.rider else []), *self.particles]
        return _together(named) if self.forms and len(named) > 1 else None

    @cached_property
    def whole(self) -> re.Pattern[str] | None:
        """A handle or a mailbox."""
        return _any_of(self.wholes)

    @cached_property
    def within(self) -> re.Pattern[str] | None:
        """Any of them in a link."""
        long = [form for form in self.forms if len(form) >= _EMBEDDED_LETTERS and not _is_everyday(form)]
        return _within(long, [*self.forms, *self.wholes, *([self.rider] if self.rider else [])])


@lru_cache(maxsize=1_024)
def _who(author: str | None, rider: str | None, address: str | None) -> _Who:
    first = _plain(rider or "")
    words = [word for word in _author_words(author or "") if _plain(word) != first]
    surnames = [word for word in words if _plain(word) not in PARTICLES]
    forms = sorted({form for word in surnames for form in _spellings(word)}, key=len, reverse=True)
    return _Who(
        rider=rider,
        first=first,
        is_known=bool(rider) or any(_plain(word) in COURTESY for word in re.findall(r"\w+", author or "")),
        particles=tuple(word for word in words if _plain(word) in PARTICLES),
        forms=tuple(forms),
        wholes=(*_handles(author or "", rider), *_mailbox(address, surnames)),
    )


def _author_words(author: str) -> list[str]:
    """The words that a name is made of, without what is bracketed, where it comes from and a mailbox's host."""
    name = re.split(r"\s*[(\[{<|]|\s+(?:via|from|aus|at)\s", unicodedata.normalize("NFC", author))[0]
    name = name.partition("@")[0] if not name.startswith("@") else name
    pieces = re.findall(r"[^\W\d_]+(?:['’‑-][^\W\d_]+)*", name)
    parts = [part for piece in pieces for part in _HUMP.sub(" ", piece).split()] if len(pieces) == 1 else []
    joined = [part for piece in pieces if "-" in piece for part in piece.split("-") if len(part) > 3]
    found = dict.fromkeys([*pieces, *parts, *joined])
    return [word for word in found if len(word) > 1 and _plain(word) not in _NEVER_NAMES]


def _handles(author: str, rider: str | None) -> list[str]:
    """A name such as "tom_lindqvist88", by which a rider is found again; "GP5000" is too short for one."""
    handle = author.strip().lstrip("@")
    is_one = re.fullmatch(r"(?=.*[_\d])(?=.*[^\W\d_]{3})[\w.-]{7,}", handle) is not None
    return [handle] if is_one and handle != rider else []


def _mailbox(address: str | None, surnames: list[str]) -> list[str]:
    """What stands before the @, where it holds the surname."""
    box = (address or "").strip("<> ").partition("@")[0]
    long = [_plain(name) for name in surnames if len(name) >= _EMBEDDED_LETTERS and not _is_everyday(name)]
    return [box] if any(name in box.lower() for name in long) else []


def _spellings(word: str) -> Iterator[str]:
    """A name as it may be typed: with either apostrophe, without its accents, with ae for ä."""
    bare = "".join(c for c in unicodedata.normalize("NFD", word) if not unicodedata.combining(c))
    spelt = word.translate(_TWO_LETTERS)
    for form in (word, bare, spelt):
        yield form
        if "'" in form or "’" in form:
            yield form.replace("’", "'")
            yield form.replace("'", "’")
    if (apart := unicodedata.normalize("NFD", word)) != word:
        yield apart


def _any_of(words: Sequence[str]) -> re.Pattern[str] | None:
    if not words:
        return None
    told = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{told})(?!\w)", re.IGNORECASE)


def _together(words: list[str]) -> re.Pattern[str]:
    """Two and more of a name's words side by side."""
    told = "|".join(re.escape(word) for word in sorted(words, key=len, reverse=True))
    return re.compile(rf"(?<!\w)(?:{told})(?:(?:[ \t]+|,[ \t]*|-)(?:{told}))+(?!\w)", re.IGNORECASE)


def _within(long: list[str], whole: list[str]) -> re.Pattern[str] | None:
    """A name in a link: run together with other words where it is long, else between signs."""
    inside = [re.escape(word) for word in long]
    between = [rf"(?<![^\W_]){re.escape(word)}(?![^\W_])" for word in whole if _is_name_only(word)]
    return re.compile("|".join([*inside, *between]), re.IGNORECASE) if inside or between else None


def _plain(word: str) -> str:
    return word.strip("'’.").casefold()


@lru_cache(maxsize=4_096)
def _is_everyday(word: str) -> bool:
    """Whether a name is a word as well, so that it takes a capital, or its first name beside it, to mean the rider."""
    lowered = word.lower()
    return (
        len(word) <= _SHORT_NAME_LETTERS
        or lowered in _EVERYDAY
        or (lowered.endswith("ing") and len(word) > 5)
        or TRADE_WITHIN.search(lowered) is not None
        or speaks_of_a_bicycle(word)
    )


def _masked_once(text: str, who: _Who) -> str:
    links = [match.span() for match in _LINK.finditer(text)]
    spans = [match.span() for match in _MAIL.finditer(text)] if "@" in text else []
    if who.may_stand_in(text):
        spans += _names(text, who)
    if links:
        spans += _named_links(text, who)
    # Neither a telephone nor an address is without a figure.
    if _DIGIT.search(text):
        spans += _outside(links, [*_telephones(text), *_postal(text)])
    if not spans:
        return text
    letters = list(text)
    for start, end in spans:
        for place in range(start, end):
            if not letters[place].isspace():
                letters[place] = MASK
    return "".join(letters)


def _outside(links: list[_Span], spans: list[_Span]) -> list[_Span]:
    """Figures in a link are its own: the number of a picture is no telephone."""
    return [(s, e) for s, e in spans if all(e <= first or last <= s for first, last in links)]


def _stretches(text: str, hidden: str) -> Iterator[_Span]:
    """Where the hidden text differs, with what stands apart by no more than blanks and commas taken together."""
    places = [place for place, (was, now) in enumerate(zip(text, hidden, strict=True)) if was != now]
    start = last = places[0]
    for place in places[1:]:
        if not re.fullmatch(r"[ \t\u00a0,]*", text[last + 1 : place]):
            yield start, last + 1
            start = place
        last = place
    yield start, last + 1


def _named_links(text: str, who: _Who) -> Iterator[_Span]:
    for link in _LINK.finditer(text):
        rest = link["rest"]
        if rest and (_MAIL.search(rest) or (who.within is not None and who.within.search(rest))):
            yield link.span("rest")


def _names(text: str, who: _Who) -> Iterator[_Span]:
    if who.whole is not None:
        yield from (match.span() for match in who.whole.finditer(text))
    if who.together is not None:
        for run in who.together.finditer(text):
            yield from _in_run(run, who)
    if who.one is not None:
        for match in who.one.finditer(text):
            if _is_a_name(match, text, who):
                yield match.span()


def _in_run(run: re.Match[str], who: _Who) -> Iterator[_Span]:
    """The surnames and particles of a name written out; "he will ring me" is none of Will Ring's."""
    words = list(re.finditer(r"[^\W\d_]+(?:['’‑-][^\W\d_]+)*", run.group()))
    named = [w for w in words if _plain(w.group()) not in PARTICLES]
    if not any(_plain(w.group()) != who.first for w in named) or len({_plain(w.group()) for w in words}) < 2:
        return
    if not any(w.group()[0].isupper() or _is_name_only(w.group()) for w in named):
        return
    for word in words:
        if _plain(word.group()) != who.first:
            yield run.start() + word.start(), run.start() + word.end()


def _is_a_name(match: re.Match[str], text: str, who: _Who) -> bool:
    word = match.group()
    if who.is_known and not _is_everyday(word):
        return True
    if _is_everyday(word) and not who.is_known:
        return False
    if not word[0].isupper() or word[1:] != word[1:].lower() or text[match.end() : match.end() + 1] == "-":
        return False
    return not _begins(text, match.start()) or _closes(match, text)


def _begins(text: str, place: int) -> bool:
    """Whether a sentence or a line begins there, so that a capital says nothing."""
    before = text[max(place - 40, 0) : place]
    bare = before.rstrip(" \t\"'“”‘’(•[—–-")
    return not bare or bare[-1] in ".!?\n\r:;"


def _closes(match: re.Match[str], text: str) -> bool:
    """Whether the word stands alone on a later line, as a signature does."""
    line_start, line_end = text.rfind("\n", 0, match.start()) + 1, text.find("\n", match.end())
    line = text[line_start : line_end if line_end >= 0 else len(text)]
    return line_start > 0 and line.strip(" \t.,–—-") == match.group()


def _telephones(text: str) -> Iterator[_Span]:
    for match in _FIGURES.finditer(text):
        words = match.group().rstrip(" (-–./")
        if _is_telephone(words, text, match.start(), match.start() + len(words)):
            yield match.start(), match.start() + len(words)


def _is_telephone(words: str, text: str, start: int, end: int) -> bool:
    digits = sum(c.isdigit() for c in words)
    if not _LEAST_DIGITS <= digits <= _MOST_DIGITS or _UNIT_NEXT.match(text, end):
        return False
    if _CALENDAR.search(words) and not _IN_PAIRS.fullmatch(words):
        return False
    before = text[max(start - 60, 0) : start]
    if _INTERNATIONAL.match(words) or _CALLS.search(before):
        return True
    if _CODES.search(before):
        return False
    if _NORTH_AMERICAN.fullmatch(words) or _IN_PAIRS.fullmatch(words):
        return True
    if words.isdigit():
        return digits >= _PLAIN_DIGITS and not words.startswith(("978", "979"))
    return digits >= _OWN_DIGITS and "." not in words and _AREA_AND_NUMBER.fullmatch(words) is not None


def _postal(text: str) -> list[_Span]:
    streets = list(_streets(text))
    return [*streets, *_postcodes(text, streets)]


def _streets(text: str) -> Iterator[_Span]:
    for match in _NUMBER_FIRST.finditer(text):
        if _is_street(match, text):
            yield match.span()
    for match in _NUMBER_LAST.finditer(text):
        is_plain = match["kind"] in (
            "Street",
            "Avenue",
            "Lane",
            "Boulevard",
            "Terrace",
            "Crescent",
            "Gardens",
        )
        if _is_street(match, text) and (
            is_plain or _LIVES.search(text[max(match.start() - 60, 0) : match.start()])
        ):
            yield match.span()
    for match in _GERMAN.finditer(text):
        if _is_street(match, text):
            yield match.start(), match.start() + len(match.group().rstrip())


def _is_street(match: re.Match[str], text: str) -> bool:
    """Whether the words before and behind leave it a street, and no model of a tyre and no way to ride on."""
    if _UNIT_NEXT.match(text, match.end()):
        return False
    names = (match["name"] or "").lower().split()
    if any(name in _NO_STREET_NAMES or speaks_of_a_bicycle(name) for name in names):
        return False
    following = re.match(r"[ -]?([^\W\d_]+)", text[match.end() : match.end() + 30])
    return following is None or following[1].lower() not in _AFTER_NO_STREET


def _postcodes(text: str, streets: list[_Span]) -> Iterator[_Span]:
    """Postcodes with a street or a town beside them; alone they look like codes of parts."""

    def behind_a_street(place: int) -> bool:
        return any(end <= place <= end + _NEAR_STREET for _, end in streets)

    for match in _BRITISH.finditer(text):
        if behind_a_street(match.start()) or (
            " " in match.group() and _is_town(_TOWN_BEFORE.search(text[: match.start()][-40:]))
        ):
            yield match.span()
    for match in _AMERICAN.finditer(text):
        if behind_a_street(match.start()) or match["comma"].startswith(","):
            yield match.span("code")
    for match in _CONTINENTAL.finditer(text):
        if behind_a_street(match.start()) or match["land"] or _COMES_FROM.search(text[: match.start()][-40:]):
            is_amount = match.group().endswith("000") or _UNIT_NEXT.match(text, match.end())
            if not is_amount:
                yield match.span()


def _is_town(before: re.Match[str] | None) -> bool:
    if before is None:
        return False
    word = before.group().strip(" \n,.").lower()
    return word not in _EVERYDAY and not speaks_of_a_bicycle(word)


_GREETS = r"(?:hi|hello|hey|hiya|dear|hallo|liebe[rs]?|moin|servus|good (?:morning|evening|afternoon|day))"
_ANSWERS = r"(?:thanks|thank you|many thanks|sorry|cheers|well done|right|okay|ok|yes|no)"
_SAYS = r"(?=(?:’s|'s)?\s+(?:writes|wrote|asks|asked|has|had|wants|says|said|sent|here|is|was)\b|:)"


def _without_calls(text: str, rider: str | None, author: str | None) -> str:
    if not rider or len(rider.strip()) < 2:
        return text
    for pattern, put in _calls(rider, author):
        text = pattern.sub(put, text)
    return text


_Put = str | Callable[[re.Match[str]], str]


@lru_cache(maxsize=1_024)
def _calls(rider: str, author: str | None) -> tuple[tuple[re.Pattern[str], _Put], ...]:
    """What a first name is replaced by, the forms with words around it first."""
    last = [re.escape(word) for word in _author_words(author or "") if _plain(word) != _plain(rider)]
    name = "|".join(re.escape(form) for form in dict.fromkeys(_spellings(rider)))
    # A name that is a word too must be written as a name: "Will writes", and not "will it fit".
    cased = f"(?-i:{name})" if _is_everyday(rider) and not _is_name_only(rider) else f"(?:{name})"
    full = rf"{cased}(?: (?:{'|'.join(last)}))*" if last else cased
    mark = r"(?!\w)"
    alone = rf"(?<!\w){full}{mark}"
    found: list[tuple[re.Pattern[str], _Put]] = [
        (_pattern(rf"(?<!\w){_GREETS} (?:there )?{full}{mark}(?=\s*(?:[,!:.–-]|\n|$))"), _greeting),
        (_pattern(rf"(?<!\w)(?P<said>{_ANSWERS}),? {full}(?P<end>[,.!])"), r"\g<said>\g<end>"),
        (_pattern(rf"(?P<said>[^\s,]),[ \t]+{full}{mark}(?=[,.!?]|\s*$)"), r"\g<said>"),
        (_pattern(rf"\n+[ \t]*[–—~-]{{0,2}}[ \t]*{full}[ \t]*[.!]?[ \t]*(?=\n|$)"), ""),
        (_pattern(rf"[ \t]*[–—~][ \t]*{full}[ \t]*$"), ""),
    ]
    if cased.startswith("(?-i:"):
        found.append((_pattern(alone + _SAYS), _somebody))
        found.append((_pattern(alone), _somebody_unless_it_begins))
    else:
        found.append((_pattern(alone), _somebody))
    return tuple(found)


def _pattern(text: str) -> re.Pattern[str]:
    return re.compile(text, re.IGNORECASE)


def _is_name_only(word: str) -> bool:
    """Whether a short first name is no word all the same: "Ana", "Bo"."""
    lowered = word.lower()
    return lowered not in _EVERYDAY and not lowered.endswith("ing") and not speaks_of_a_bicycle(word)


def _greeting(match: re.Match[str]) -> str:
    return "Hello" if match.group()[0].isupper() else "hello"


def _somebody(match: re.Match[str]) -> str:
    return SOMEBODY.capitalize() if _begins(match.string, match.start()) else SOMEBODY


def _somebody_unless_it_begins(match: re.Match[str]) -> str:
    return match.group() if _begins(match.string, match.start()) else SOMEBODY
