"""Grades of oil: the ISO number is a quantity; an SAE grade is a choice, and its figures are nothing else."""

from __future__ import annotations

import re
from collections.abc import Iterator

from triage.extract.forms import form
from triage.extract.numbers import PLAIN, number
from triage.extract.passage import Found, Passage

_ISO_VG = form(r"\b(?:iso\s?)?vg\s?-?(\d{1,4})\b", catches="iso vg 100", leaves="vg")
_SAE = form(
    r"\b(?:sae\s?)?\d{1,2}w[\s-]?\d{2,3}\b|\b(?:sae|ep)\s?-?\d{2,3}\b", catches="75w90", leaves="75 w"
)


_CENTISTOKES = form(
    rf"({PLAIN})\s?(?:cst|centistokes?|mm ?(?:²|2|\^2) ?/ ?s)\s(?:at|@)\s(40|100)(?:\s?(?:degrees?(?:\sc(?:elsius)?)?|° ?c?|c))?(?!\w)",
    catches="46 cst at 40",
    leaves="46 cst",
)
_FIGURE_AND_W = re.compile(r"\dw")
_VISCOSITIES = {"40": "viscosity_40_mm2_s", "100": "viscosity_100_mm2_s"}


def oil_grades(passage: Passage) -> Iterator[list[Found]]:
    """ "ISO VG 100"; "75W-90" is spoken for, so that no reader takes it for watts."""
    for m in passage.around(_ISO_VG, "vg"):
        yield [Found("viscosity_grade", float(m[1]), *m.span())]
    for m in passage.at_numbers(_CENTISTOKES):
        yield [Found(_VISCOSITIES[m[2]], number(m[1]), *m.span())]
    graded = passage.holds("sae", "ep") or _FIGURE_AND_W.search(passage.text) is not None
    for m in passage.around(_SAE, "sae", "ep", "w") if graded else ():
        passage.taken.append(m.span())
