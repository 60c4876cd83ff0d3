"""A material that stands behind what it is the material of: "dropouts 130 mm apart, steel", "the post is 27.2 and titanium"."""

from __future__ import annotations

from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.words import lowered

_MATERIAL = r"(?P<material>steel|alloy|alu|aluminium|aluminum|carbon|titanium)"
_ENDS = r"(?=\s?[.,;?!)]|$|\s(?:and|frame|post|but|with)\b)"
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
_BEHIND = form(
    rf"(?:[,(]\s?(?:it'?s\s|in\s|all\s|old\s|and\s)?|\d\"?\s?(?:mm\s|inch\s|in\s)?(?:and\s|in\s)?){_MATERIAL}{_ENDS}",
    catches="a frame with 130 mm rear dropouts, steel.",
    leaves="frame with a post, steel rails",
)
_RIGHT_BEHIND = form(
    rf"\b(?:frame|(?:seat\s?)?post|rims?|steerer)(?::|\sis|\sare|\sbeing)?\s(?:in\s)?{_MATERIAL}{_ENDS}",
    catches="post alu, frame steel",
    leaves="frame with steel",
)
_NAMED = form(
    r"\b(?:(?P<frame>frame|bike|bicycle|dropouts?|rear end|frameset|racer|tourer|hardtail)|(?P<post>(?:seat\s?)?posts?)|"
    r"(?P<rim>rims?)|(?P<steerer>steerer)|forks?|wheels?|hubs?|bars?|stems?|cranks?|arms?|pedals?|axles?|rails?|saddle|spokes?|rack|cages?|shims?)\b",
    catches="a post",
    leaves="composted",
)
_CHOICES = {
    "frame": "frame_material",
    "post": "seatpost_material",
    "rim": "rim_material",
    "steerer": "steerer_material",
}
_MATERIALS = ("steel", "alloy", "alu", "carbon", "titanium")
_FARTHEST = 60
_VALUES = {"steel": "steel", "carbon": "carbon", "titanium": "titanium"}

Apposed = tuple[str, str, int, int]
"""The choice, its value, and where the material stands."""


def apposed_materials(text: str) -> Iterator[Apposed]:
    """Of each part the first material behind it, unless another part is named between the two."""
    low = lowered(text)
    if not any(material in low for material in _MATERIALS):
        return
    told: set[str] = set()
    for choice, material, start, end in _in_order(low):
        if choice not in told:
            told.add(choice)
            yield choice, _VALUES.get(material, "aluminium"), start, end


def _in_order(low: str) -> Iterator[Apposed]:
    for pattern in (_BEFORE_ITS_FRAME, _ALONE):
        m = pattern.search(low)
        if m is not None and {part.lastgroup for part in _NAMED.finditer(m.group())} == {"frame"}:
            yield _CHOICES["frame"], m["material"], *m.span("material")
    for pattern in (_RIGHT_BEHIND, _BEHIND):
        for m in pattern.finditer(low):
            place = m.start("material")
            first = max(place - _FARTHEST, *(low.rfind(mark, 0, place) + 1 for mark in ("?", "!", ";", ". ")))
            parts = list(_NAMED.finditer(low, first, place))
            if parts and parts[-1].lastgroup is not None:
                yield _CHOICES[parts[-1].lastgroup], m["material"], *m.span("material")


__all__ = ["Apposed", "apposed_materials"]
