"""Where the numbers of counts, scores, areas and gases come from; docstrings name the [key].

The cylinders have their own (`cylinders.py`). "Weak" is a page without a named author or editor.
What is from memory, or common practice without a source, says so where the number stands.
"""

from __future__ import annotations

import re

SUM_SOURCES = {
    "classic-an": "Oxygen cylinder calculation: "
    "https://classicanesthesia.com/english-version/en-oxygen-cylinder-calculation",
    "frcem": "Oxygen requirements for patient transfer: "
    "http://frcemexam.com/knowledge-base/oxygen-requirements-for-patient-transfer/",
    "lox": "Oxygen, respiratory supplies: "
    "https://www.medicalalgorithms.com/oxygen-respiratory-supplies",
    "nist": "NIST Special Publication 811 (2008), appendix B.8",
}
"""Full names by key."""


def with_full_names(text: str) -> str:
    """A text in which each [key] is replaced by the full name of the source."""
    return re.sub(r"\[([a-z0-9-]+)\]", lambda found: SUM_SOURCES[found[1]], text)
