"""The outbox: signed replies taken out in bulk, or sent through the desk's own mail server, each once."""

from triage.outbox.export import as_mbox, as_merge_csv, as_zip
from triage.outbox.ready import (
    NotReadyError,
    ReadyMail,
    Refused,
    mails_for,
    order,
    order_again,
    ready_and_refused,
    usable_address,
)
from triage.outbox.send import StoppedError, Totals, send
from triage.outbox.server import Server, sender_from, server_from
from triage.output.replies import Sender

__all__ = [
    "NotReadyError",
    "ReadyMail",
    "Refused",
    "Sender",
    "Server",
    "StoppedError",
    "Totals",
    "as_mbox",
    "as_merge_csv",
    "as_zip",
    "mails_for",
    "order",
    "order_again",
    "ready_and_refused",
    "send",
    "sender_from",
    "server_from",
    "usable_address",
]
