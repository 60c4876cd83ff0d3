"""What the desk knows about a person's work on a draft: its edits, what they changed, and what a sign-off stands on."""
