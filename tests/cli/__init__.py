"""The commands, each tried whole."""
