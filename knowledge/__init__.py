"""The trade's knowledge: tables, calculations, briefs and parts, each figure with its source."""
