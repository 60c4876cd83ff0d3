"""First names: from a display name, a mailbox or a sign-off; None where it is not plausibly one."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from pathlib import Path

from triage.read.bounds import LONGEST_NAME_CHARACTERS
from triage.read.text import one_line


def _words(*lines: str) -> frozenset[str]:
    return frozenset(word for line in lines for word in line.split())


COURTESY = _words(
    "mr mrs ms miss mx sir madam herr frau fräulein m mme mlle monsieur madame sr sra srta señor señora don doña "
    "sig signor signora dhr mevr mevrouw hr fr pan pani"
)
"""Words before a surname: alone with one more word, that word is a surname."""

TITLES = COURTESY | _words(
    "dr prof professor doctor doktor ing dipl dipl-ing mag eng rev father sister lic dott dottssa drs ir"
)
PARTICLES = _words(
    "van von de der den del della di da dos das du la le les ten ter zu zum zur af av bin ibn al el st mc mac o d"
)
AFTER_NAME = _words("jr sr snr jnr ii iii iv phd md msc bsc ba ma mba meng beng dipl esq ret")
NOT_NAMES = _words(
    # Trade words, offices, crowds and everyday words that stand where a name would.
    "bike bikes biker bicycle bicycles cycle cycles cycling cyclist rider riders riding ride velo vélo rad fahrrad "
    "fiets bici ebike mtb team club shop store workshop werkstatt garage gravel mountain trail road cargo tandem "
    "wheel wheels wheelie wheelbuilder spoke spokes gear gears chain chainring sprocket brake brakes tyre tyres "
    "tire tires saddle pedal pedals pedaller fork frame hub rim crank derailleur cassette bearing mud muddy mudguard "
    "dirt dirty dusty speed speedy fast slow big little old mad crazy happy grumpy lazy king queen captain uncle "
    "aunt auntie dad mum mom grandpa grandma goose wolf bear dog cat tom-tom commuter roadie weekend sunday "
    "support service services info admin administrator office mail mailbox mailer daemon postmaster webmaster "
    "noreply donotreply no do not reply newsletter news contact kontakt kontaktformular help helpdesk desk sales "
    "marketing customer kunde customers accounts billing system notification notifications alert alerts form "
    "website web site server root hello hi hey team anonymous anonym anonyme anonimo gast guest user users "
    "benutzer nutzer unknown unbekannt nobody someone somebody anyone me you we us the a an my our your his her "
    "all guys everyone everybody folks mate mates people gang lads friends there again advance much lot lots "
    "very so and or for from with in on at by to of is was are be been it this that these those regards thanks "
    "thank cheers greetings best kind warm yours sincerely deleted private account channel official show podcast "
    "sent via per-mail original message question reader listener viewer fan new member"
)
TRADE_WITHIN = re.compile(
    r"bike|cycl|gravel|wheel|pedal|spoke|chain|rider|brake|saddle|goose|trail|gear|fahrrad|velo|reply"
)
"""A handle made of trade words written together."""

SIGN_OFFS = (
    # Longer forms first, so that the name after them is what is left.
    "many thanks in advance|thanks in advance|thank you in advance|many thanks and best regards|thanks and regards|"
    "thanks and best regards|thank you very much|thanks very much|thanks so much|thanks a lot|thanks again|many thanks|"
    "thank you|thanks|thx|cheers|ta|best regards|best wishes|kind regards|kindest regards|warm regards|warmest regards|"
    "all the best|regards|best|yours sincerely|yours faithfully|yours truly|yours|sincerely|greetings|ride safe|"
    "happy riding|happy trails|keep riding|take care|love|"
    "mit freundlichen grüßen|mit freundlichen gruessen|mit freundlichem gruß|mit besten grüßen|freundliche grüße|"
    "viele grüße|viele gruesse|liebe grüße|beste grüße|herzliche grüße|schöne grüße|schönen gruß|vielen dank|danke|"
    "gruß|gruss|grüße|grüsse|gruesse|lg|vg|mfg|bg|"
    "bien cordialement|très cordialement|cordialement|bien à vous|bien à toi|amicalement|à bientôt|salutations|"
    "merci d'avance|merci beaucoup|merci|"
    "muchas gracias|gracias|un cordial saludo|un saludo|saludos cordiales|saludos|atentamente|un abrazo|"
    "cordiali saluti|tanti saluti|distinti saluti|un saluto|saluti|grazie mille|grazie|ciao|"
    "muito obrigado|muito obrigada|obrigado|obrigada|cumprimentos|abraços|abraço|atenciosamente|"
    "met vriendelijke groeten|met vriendelijke groet|vriendelijke groeten|hartelijke groet|groetjes|groeten|groet|mvg|"
    "alvast bedankt|bedankt|"
    "med vänliga hälsningar|vänliga hälsningar|hälsningar|mvh|tack|med venlig hilsen|venlig hilsen|vennlig hilsen|"
    "med vennlig hilsen|hilsen|takk|tak|terveisin|ystävällisin terveisin|kiitos|"
    "z poważaniem|pozdrawiam serdecznie|pozdrawiam|pozdrowienia|dziękuję|dzięki|s pozdravem|zdravím|díky|děkuji"
)
_SIGN_OFF_ALONE = re.compile(
    rf"^(?:{SIGN_OFFS})(?: (?:to|aus|from|de) [^,]{{1,20}})?[\s,.!:;–—-]*$", re.IGNORECASE
)
_SIGN_OFF_AND_NAME = re.compile(
    rf"(?:^|[.!?,)]\s+|\n)(?:{SIGN_OFFS})\s*(?:[,!–—]|\.|-(?=\s))\s*(?P<name>[^,.!?;:]{{2,40}})[.!]?$",
    re.IGNORECASE,
)
_PARTING_AND_NAME = re.compile(
    r"^(?:cheers|regards|(?:best|kind) regards|all the best|best|greetings|lg|vg|mfg|bg|(?:viele |liebe |beste )?"
    r"(?:gruß|gruss|grüße|grüsse|gruesse)|saludos|saluti|groet|groeten|groetjes|mvh|hilsen|pozdrawiam)"
    r"\s(?P<name>[^\W\d_][^,.!?;:]{1,38})[.!]?$",
    re.IGNORECASE,
)
"""A parting word and a name with no comma; words of thanks are left out, since they may address the reader."""
_DASH_AND_NAME = re.compile(r"^(?:[–—~/]|--?)\s?(?P<name>[^\W\d_][^,!?;:@\d]{1,38})$")
_NAME_LINE = re.compile(r"^[^\W\d_][^,!?;:@\d]{1,38}$")
_AFTER_PLACE = re.compile(
    r"\s+(?:from|in|aus|de|van|uit|di|da|från|z|of|via)\s.*$|\s*[(\[|/].*$", re.IGNORECASE
)
_WORD = re.compile(r"^[^\W\d_]+(?:['’‑-][^\W\d_]+)*$")
_VOWEL = re.compile(r"[aeiouyàáâãäåæèéêëìíîïòóôõöøœùúûüýÿāăąēęěīįıōőūůűų]")
_HUMP = re.compile(r"(?<=[a-zß-ÿ])(?=[A-Z])")
_JOINS = re.compile(r"[\s._+-]+")
_INNER_CAPITAL_PREFIX = re.compile(r"^(?:Mc|Mac|De|Le|La|Di|O['’]|D['’])[A-Z]")
_WRITTEN_SURNAME_FIRST = re.compile(r"[\u1100-\u11ff\u3040-\u30ff\u3400-\u9fff\uac00-\ud7af]")
_EDGES = re.compile(r"^[^\w@(]+|[^\w.)]+$")
_BRACKETED = re.compile(r"\s*[(\[{<].*$")
_ROUTED = re.compile(r"\s+(?:via|through|über)\s+.*$|\s+[|/–—]\s*.*$|\s-\s.*$", re.IGNORECASE)


@lru_cache(maxsize=1)
def given_names() -> frozenset[str]:
    """The given names that tell a name from a handle, lower case."""
    lines = Path(__file__).with_name("given_names.txt").read_text(encoding="utf-8").splitlines()
    return frozenset(name for line in lines if not line.startswith("#") for name in line.split())


@lru_cache(maxsize=8_192)
def first_name(author: str) -> str | None:
    """The first name in a display name or handle, in ordinary capitals; None where there is none.

    >>> first_name("KOVÁCS, anna"), first_name("Dr. Tom van Dijk"), first_name("xX_rider99"), first_name("Mr Holm")
    ('Anna', 'Tom', None, None)
    """
    author = one_line(unicodedata.normalize("NFC", author), LONGEST_NAME_CHARACTERS)
    author = _EDGES.sub("", author)
    if author.startswith("@"):
        return _from_handle(author)
    if "@" in author:
        return from_address(author)
    author = _ROUTED.sub("", _BRACKETED.sub("", author)).strip()
    if not author or _WRITTEN_SURNAME_FIRST.search(author):
        return None
    return _from_full_name(_turned(author))


def from_address(address: str | None) -> str | None:
    """The first name that a mailbox is named after, only where it is a common given name.

    >>> from_address("anna.k@example.org"), from_address("info@example.org"), from_address("rider99@example.org")
    ('Anna', None, None)
    """
    if not address:
        return None
    return _from_handle(address.strip("<> ").partition("@")[0].partition("+")[0])


def from_sign_off(text: str) -> str | None:
    """The first name that a text closes with: "Cheers, Tom", "Gruß" and the name below, or "– Ana".

    >>> from_sign_off("It creaks.\\n\\nCheers,\\nTom Holm"), from_sign_off("It creaks – Ana"), from_sign_off("Thanks all")
    ('Tom', None, None)
    """
    lines = [line.strip() for line in text[-1_000:].splitlines() if line.strip()][-2:]
    if not lines:
        return None
    last = lines[-1][-100:]
    found = _DASH_AND_NAME.match(last) or _SIGN_OFF_AND_NAME.search(last)
    if found is not None:
        return _signed(found["name"])
    found = _PARTING_AND_NAME.match(last)
    if found is not None and _plain(found["name"].split()[0]) in given_names():
        return _signed(found["name"])
    if len(lines) == 2 and _NAME_LINE.match(last) and _SIGN_OFF_ALONE.match(lines[0][-60:]):
        return _signed(last)
    return None


def is_sign_off(line: str) -> bool:
    """Whether a line is a closing phrase with nothing after it.

    >>> is_sign_off("Kind regards,"), is_sign_off("Thanks for the last answer,")
    (True, False)
    """
    return len(line) < 60 and _SIGN_OFF_ALONE.match(line.strip()) is not None


def _signed(words: str) -> str | None:
    words = _AFTER_PLACE.sub("", words).strip(" .*_")
    tokens = words.split()
    if not 1 <= len(tokens) <= 3:
        return None
    if not all(token[0].isupper() or token.lower() in PARTICLES for token in tokens) and not (
        len(tokens) == 1 and tokens[0].lower() in given_names()
    ):
        return None
    return first_name(words)


def _turned(author: str) -> str:
    """ "Surname, First" the other way round; degrees and places after a comma left out."""
    before, comma, after = (part.strip() for part in author.partition(","))
    if not comma or not after or not before:
        return before or after
    after = after.partition(",")[0].strip()
    if _plain(after.split()[0]) in AFTER_NAME:
        return before
    known = given_names()
    if _plain(before.split()[0]) in known and _plain(_untitled(after.split())[:1]) not in known:
        return before
    return f"{after} {before}"


def _plain(words: str | list[str]) -> str:
    word = words if isinstance(words, str) else "".join(words)
    return word.strip("'’").replace(".", "").lower()


def _untitled(tokens: list[str]) -> list[str]:
    start = 0
    while start < len(tokens) and (
        _plain(tokens[start]) in TITLES or _plain(tokens[start]) in {"med", "habil", "hc"}
    ):
        start += 1
    return tokens[start:]


def _from_full_name(author: str) -> str | None:
    tokens = author.split()
    if len(tokens) == 1:
        return _from_one_word(tokens[0])
    named = _untitled(tokens)
    known = given_names()
    if not named or (len(named) < len(tokens) and len(named) == 1 and _plain(named[0]) not in known):
        return None
    if any(_plain(token) in NOT_NAMES or token.lower().endswith(("'s", "’s")) for token in named):
        first = _plain(named[0])
        return (
            _cased(named[0])
            if first in known and len(named) == 2 and _plain(named[1]) not in NOT_NAMES
            else None
        )
    shouted = [token.isupper() and len(token) > 2 for token in named]
    if any(shouted) and not all(shouted):
        # A surname set in capitals stands first in some countries.
        named = [token for token, loud in zip(named, shouted, strict=True) if not loud] or named
    if len(named) > 1 and len(_plain(named[0])) == 1:
        named = named[1:] if len(named) > 2 else named
    return _plausible(named[0])


def _from_one_word(word: str) -> str | None:
    word = word.strip("*_~.-")
    known = given_names()
    if all(part in known for part in word.lower().split("-")):
        return _cased(word)
    lowered = word.lower()
    humped = _HUMP.search(word) is not None and not _INNER_CAPITAL_PREFIX.match(word)
    if not word.isalpha() and not _WORD.match(word):
        return _from_handle(word)
    if humped or (word.islower() and word.isascii()) or TRADE_WITHIN.search(lowered) or len(word) < 3:
        return _from_handle(word)
    if word.isupper() and len(word) < 4:
        return None
    return _plausible(word)


def _plausible(word: str) -> str | None:
    word = re.sub(r"^[\W_]+|[\W_]+$", "", word)
    lowered = word.lower()
    if not 2 <= len(word) <= 20 or not _WORD.match(word):
        return None
    if lowered in NOT_NAMES or lowered in PARTICLES or lowered in TITLES:
        return None
    if lowered not in given_names():
        if lowered.isascii() and not _VOWEL.search(lowered):
            return None
        if (word.isupper() and len(word) == 2) or TRADE_WITHIN.search(lowered):
            return None
        if _HUMP.search(word) is not None and not _INNER_CAPITAL_PREFIX.match(word):
            return None
    return _cased(word)


def _from_handle(handle: str) -> str | None:
    parts = [part for part in _JOINS.split(_HUMP.sub(" ", handle.strip("@<> "))) if part]
    if not 1 <= len(parts) <= 3:
        return None
    first = parts[0].rstrip("0123456789")
    if first.lower() not in given_names() or any(part.lower() in NOT_NAMES for part in parts[1:]):
        return None
    return _cased(first)


def _cased(word: str) -> str:
    word = word.strip(".,*_~")
    if not (word.islower() or word.isupper()):
        return word
    return re.sub(r"[^\W\d_]+", lambda part: part[0].capitalize(), word)
