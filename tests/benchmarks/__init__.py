"""Measurements, each a command of its own."""
