"""Where the numbers of counts, scores, areas and gases come from; docstrings name the [key].

The cylinders have their own (`cylinders.py`). "Weak" is a page without a named author or editor.
What is from memory, or common practice without a source, says so where the number stands.
"""

from __future__ import annotations

import re

SUM_SOURCES = {
    "classic-an": "Oxygen cylinder calculation: "
    "https://classicanesthesia.com/english-version/en-oxygen-cylinder-calculation",
    "coma-groups": "Egyptian Journal of Neurosurgery 2020, table 1 of doi "
    "10.1186/s41984-020-00096-5 (adults' steps; 13 and more, 9 to 12, 8 or less)",
    "coma-infants": "Merck Manual, Modified Glasgow Coma Scale for Infants and Children: "
    "https://www.merckmanuals.com/professional/multimedia/table/"
    "modified-glasgow-coma-scale-for-infants-and-children",
    "coma-infants-other": "Paediatric Glasgow Coma Scale: "
    "https://neuroscand.com/paediatric-glasgow-coma-scale/",
    "coma-invalid": "J Neurol Neurosurg Psychiatry, table after Teasdale: tubes and injuries of "
    "the face invalidate the verbal part: https://jnnp.bmj.com/highwire/markup/166537/expansion",
    "coma-parts": "Teasdale and others, The Glasgow Coma Scale at 40 years, Lancet Neurol "
    "2014;13:844-54 (abstract: one person is best described by the three parts)",
    "frcem": "Oxygen requirements for patient transfer: "
    "http://frcemexam.com/knowledge-base/oxygen-requirements-for-patient-transfer/",
    "lox": "Oxygen, respiratory supplies: "
    "https://www.medicalalgorithms.com/oxygen-respiratory-supplies",
    "msd-apgar": "MSD Manual, Apgar Score: "
    "https://www.msdmanuals.com/home/multimedia/table/apgar-score",
    "nist": "NIST Special Publication 811 (2008), appendix B.8",
    "ttmf": "Apgar score, glossary: https://ttmf.org/glossary/apgar-score",
}
"""Full names by key."""


def with_full_names(text: str) -> str:
    """A text in which each [key] is replaced by the full name of the source."""
    return re.sub(r"\[([a-z0-9-]+)\]", lambda found: SUM_SOURCES[found[1]], text)
