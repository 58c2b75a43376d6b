"""The records, on both databases."""
