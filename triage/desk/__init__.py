"""The review desk: a thin web door onto the ledger."""
