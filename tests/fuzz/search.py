"""One search in a process of its own: the library ends the process when it is done or has found something."""

from __future__ import annotations

import sys

LOOKED_INTO = ["triage", "knowledge", "email", "csv", "json", "html", "dateutil"]


def main() -> None:
    """`python -m tests.fuzz.search TARGET OPTIONS…`, the options being those of libFuzzer."""
    import atheris  # only with the extra

    with atheris.instrument_imports(include=LOOKED_INTO):
        from tests.fuzz.targets import tried
    name, *options = sys.argv[1:]
    atheris.Setup([sys.argv[0], *options], lambda data: tried(name, data))
    atheris.Fuzz()


if __name__ == "__main__":
    main()
