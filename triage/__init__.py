"""From a folder of riders' messages to drafts that can be read, sent and checked."""
