"""A wrong word gets the nearest right one."""

from __future__ import annotations

import click
from rapidfuzz import process


class Suggesting(click.Group):
    """A group of commands that names the nearest one for a wrong word."""

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or say which one was probably meant."""
        try:
            return super().resolve_command(ctx, args)
        except click.UsageError as error:
            nearest = near(args[0], self.list_commands(ctx))
            if not nearest or "Did you mean" in error.message:
                raise
            raise click.UsageError(f"{error.message} {nearest}", ctx) from None


def near(word: str, known: list[str], most: int = 3) -> str:
    """A question that names the nearest known words; empty where none is near."""
    found = [match[0] for match in process.extract(word, known, limit=most, score_cutoff=60)]
    return f"Did you mean {' or '.join(found)}?" if found else ""
