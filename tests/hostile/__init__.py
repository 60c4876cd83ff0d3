"""Hostile mail, whole: what each bad input costs, what it leaves, and that the rest of its batch is drafted."""

from __future__ import annotations

from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
