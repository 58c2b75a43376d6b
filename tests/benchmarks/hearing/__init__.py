"""How well the coach hears: python -m tests.benchmarks.hearing"""
