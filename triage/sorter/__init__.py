"""The sorter: learns labels from labelled texts, and says how sure it is and when a text is none of them."""

from triage.sorter.encoder import Vectors
from triage.sorter.examples import Examples, examples_of, examples_of_file
from triage.sorter.kept import known_vectors, sorter_for
from triage.sorter.lessons import lessons
from triage.sorter.points import Asked, Meant, Points
from triage.sorter.sorter import OUTSIDE, Numbers, Sorted, Sorter

__all__ = [
    "OUTSIDE",
    "Asked",
    "Examples",
    "Meant",
    "Numbers",
    "Points",
    "Sorted",
    "Sorter",
    "Vectors",
    "examples_of",
    "examples_of_file",
    "known_vectors",
    "lessons",
    "sorter_for",
]
