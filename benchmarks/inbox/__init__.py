"""Synthetic inboxes of any size: invented riders who ask what the briefs' examples ask, each in words of their own."""

from benchmarks.inbox.compose import Composer, Rates, Written
from benchmarks.inbox.files import Made, make_inbox

__all__ = ["Composer", "Made", "Rates", "Written", "make_inbox"]
