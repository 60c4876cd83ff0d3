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
_OF_ANOTHER = form(
    r"\b(?:forks?|posts?|seat\s?posts?|rims?|wheels?|bars?|stems?|cranks?|rails?|steerer|spokes?|rack)\b",
    catches="a post",
    leaves="dropouts",
)
_VALUES = {"steel": "steel", "carbon": "carbon", "titanium": "titanium"}


def apposed_material(text: str) -> tuple[str, int, int] | None:
    """The frame's material and where it stands, unless another part is named between the two."""
    for m in _APPOSED.finditer(lowered(text)):
        if _OF_ANOTHER.search(m.group()[: m.start("material") - m.start()]) is None:
            return _VALUES.get(m["material"], "aluminium"), *m.span("material")
    return None
