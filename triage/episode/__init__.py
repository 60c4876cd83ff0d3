"""The episode: which answered questions go into it, and in what order."""

from __future__ import annotations

from triage.episode.candidate import Candidate, Chosen, NearMiss, Plan
from triage.episode.order import in_order, links
from triage.episode.plan import ClashingRulesError, plan

__all__ = ["Candidate", "Chosen", "ClashingRulesError", "NearMiss", "Plan", "in_order", "links", "plan"]
