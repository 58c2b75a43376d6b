"""Where the numbers of counts, scores, areas and gases come from; docstrings name the [key].

The cylinders have their own (`cylinders.py`). "Weak" is a page without a named author or editor.
What is from memory, or common practice without a source, says so where the number stands.
"""

from __future__ import annotations

import re

SUM_SOURCES = {
    "burn-charts": "Burn and burn fluid charts, appendix VI of field treatment guidelines: "
    "https://chemsftg.com/burn-and-burn-fluid-charts",
    "burn-nines-child": "GPnotebook, Rule of nines (paediatric), reviewed 01/2018: "
    "https://pharmacy-notebook.com/simplepage.cfm?ID=-999620530&linkID=30283",
    "burn-nines-year": "How to calculate pediatric burn area (weak): "
    "https://222health.com/conditions-treatments/burns/16071.html",
    "burn-nines-healthwise": "Healthwise, Rule of nines for burns in babies and young children: "
    "https://www.peacehealth.org/medical-topics/id/aa41815",
    "burn-redness": "Burn area, citing Wardrope 1992: "
    "https://www.forensicmed.co.uk/wounds/burns/burn-area/",
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
    "lund-browder": "Lund and Browder 1944 as printed in Burn size (weak): "
    "https://academy2.activheal.com/topic/topic-five-burn-size/",
    "msd-apgar": "MSD Manual, Apgar Score: "
    "https://www.msdmanuals.com/home/multimedia/table/apgar-score",
    "nist": "NIST Special Publication 811 (2008), appendix B.8",
    "palm": "Acute Crit Care 2019;34:276-81, doi 10.4266/acc.2019.00647 (introduction)",
    "palm-slate": "How much of me is burned?, July 2006: https://slate.com/news-and-politics/"
    "2006/07/how-do-doctors-know-what-percentage-of-you-is-burned.html",
    "ttmf": "Apgar score, glossary: https://ttmf.org/glossary/apgar-score",
}
"""Full names by key."""


def with_full_names(text: str) -> str:
    """A text in which each [key] is replaced by the full name of the source."""
    return re.sub(r"\[([a-z0-9-]+)\]", lambda found: SUM_SOURCES[found[1]], text)
