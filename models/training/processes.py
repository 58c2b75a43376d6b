"""Runs a rendering on many processes at once, for a time."""

from __future__ import annotations

import argparse
import multiprocessing
import time
from collections.abc import Callable

Work = Callable[[int, int, argparse.Namespace], None]
"""What one process does: its number, how many there are, the arguments with their `deadline`."""


def run(work: Work, args: argparse.Namespace) -> None:
    """Start `args.workers` processes and wait; each stops by itself `args.seconds` from now."""
    args.deadline = time.time() + args.seconds
    args.out.mkdir(parents=True, exist_ok=True)
    context = multiprocessing.get_context("spawn")
    jobs = [context.Process(target=work, args=(n, args.workers, args)) for n in range(args.workers)]
    for job in jobs:
        job.start()
    for job in jobs:
        job.join()
