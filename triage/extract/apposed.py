"""A material that stands behind what it is the material of: "dropouts 130 mm apart, steel." """

from __future__ import annotations

from triage.extract.forms import form
from triage.extract.words import lowered

CHOICE = "frame_material"
_APPOSED = form(
    r"\b(?:frame|bike|bicycle|dropouts?|rear end|frameset|racer|tourer|hardtail)\b[^.;?!]{0,48}[,(]\s?(?:it'?s\s|in\s|all\s|old\s)?(?P<material>steel|alloy|alu|aluminium|aluminum|carbon|titanium)(?=\s?[.,;?!)]|$)",
    catches="frame has 130 mm rear dropouts, steel.",
    leaves="frame with a post, steel rails",
)
_BEFORE_ITS_FRAME = form(
    r"\b(?P<material>steel|alloy|alu|aluminium|aluminum|carbon|titanium)\s(?:(?:bonded|lugged|welded|old|road|touring|race|racing|mtb|trail|gravel|hardtail|folding|step-?through|mixte|ladies|tig-?welded|brazed)\s){1,2}(?:frame|frameset)\b(?!\s(?:pump|bag|lock))",
    catches="aluminium bonded frame",
    leaves="carbon rails frame",
)
_ALONE = form(
    r"\bframe\b[^.?!]{0,40}[.?!]\s(?:it'?s\s)?(?P<material>steel|alloy|alu|aluminium|aluminum|carbon|titanium)(?=\s?[.!]|\s?$)",
    catches="is the frame shot? carbon.",
    leaves="is the frame shot? carbon wheels.",
)
_OF_ANOTHER = form(
    r"\b(?:forks?|posts?|seat\s?posts?|rims?|wheels?|bars?|stems?|cranks?|rails?|steerer|spokes?|rack)\b",
    catches="a post",
    leaves="dropouts",
)
_VALUES = {"steel": "steel", "carbon": "carbon", "titanium": "titanium"}


def apposed_material(text: str) -> tuple[str, int, int] | None:
    """The frame's material and where it stands, unless another part is named between the two."""
    low = lowered(text)
    for pattern in (_BEFORE_ITS_FRAME, _ALONE):
        found = pattern.search(low)
        if found is not None and _OF_ANOTHER.search(found.group()) is None:
            return _VALUES.get(found["material"], "aluminium"), *found.span("material")
    for m in _APPOSED.finditer(low):
        if _OF_ANOTHER.search(m.group()[: m.start("material") - m.start()]) is None:
            return _VALUES.get(m["material"], "aluminium"), *m.span("material")
    return None
