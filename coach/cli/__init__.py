"""Commands: what the user types, prints, and the exit codes."""
