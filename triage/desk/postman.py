"""The postman: sends what was ordered in the background, one run at a time, and remembers what stopped the last one."""

from __future__ import annotations

import threading

from triage.ledger import Ledger, Person
from triage.logs import event
from triage.outbox import Server, StoppedError, send


class Postman:
    """One background run over what waits; a second order while it runs is taken along by it or by the next."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._run: threading.Thread | None = None
        self.trouble: str | None = None

    @property
    def is_going(self) -> bool:
        """Whether mails are going out right now."""
        return self._run is not None and self._run.is_alive()

    def go(self, ledger: Ledger, server: Server, person: Person) -> None:
        """Begin to send what waits, unless somebody is at it."""
        with self._lock:
            if not self.is_going:
                self.trouble = None
                self._run = threading.Thread(target=self._go, args=(ledger, server, person), daemon=True)
                self._run.start()

    def wait(self, seconds: float) -> None:
        """Wait until the run has ended."""
        if self._run is not None:
            self._run.join(seconds)

    def _go(self, ledger: Ledger, server: Server, person: Person) -> None:
        try:
            # What was ordered while the last mail went out is taken along.
            while ledger.mails.left_waiting():
                send(ledger, server, person)
        except StoppedError as error:
            self.trouble = str(error)
        except Exception as error:  # whatever it was, a person must see it on the page
            event("sending stopped", error=error)
            self.trouble = f"The sending stopped: {type(error).__name__}: {error}"
