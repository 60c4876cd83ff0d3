"""`python -m triage.cli` is `quillstem`."""

from triage.cli import main

main(prog_name="quillstem")
