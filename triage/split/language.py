"""Whether a text is in another language than English."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from py3langid.langid import MODEL_FILE, LanguageIdentifier


def any_of(words: str) -> frozenset[str]:
    return frozenset(words.split())


_LETTERS = re.compile(r"[^\W\d_]+")
_ENGLISH = any_of(
    "the and is are my i it to of in on with can what how do does for that this have has be will a an or not if"
)
LEAST_ENGLISH_SHARE = 0.12
FEWEST_WORDS_TO_TELL = 5
LEAST_SURE_OF_LANGUAGE = 0.9


def is_foreign(text: str, words: Sequence[str]) -> bool:
    # Words of letters alone are what is looked for; only where figures are among them must they be counted anew.
    count = len(words) if "".join(words).isalpha() else len(_LETTERS.findall(text))
    if count < FEWEST_WORDS_TO_TELL:
        return False
    if sum(map(_ENGLISH.__contains__, words)) >= LEAST_ENGLISH_SHARE * count:
        return False
    language, chance = _identifier().classify(text[:1000])
    return bool(language != "en" and chance >= LEAST_SURE_OF_LANGUAGE)


@lru_cache(maxsize=1)
def _identifier() -> LanguageIdentifier:
    return LanguageIdentifier.from_model_file(MODEL_FILE, norm_probs=True)
