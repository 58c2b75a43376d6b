"""Text in the cells of a table that other programs open: nothing in it may run as a formula."""

from __future__ import annotations

FORMULA_SIGNS = "=+-@＝＋－＠"  # noqa: RUF001 - the wide ones are meant
"""What a spreadsheet takes for the beginning of a formula, narrow and wide (OWASP, "CSV
Injection", lists both)."""

_BREAKS = ("\t", "\r", "\n")
"""They too may begin a formula, or a new cell (OWASP, "CSV Injection")."""

_QUOTE = "'"
"""Put before a text that would begin a formula; spreadsheets show what follows as it is (OWASP,
"CSV Injection")."""


def safe_cell(text: str) -> str:
    """The text so that no spreadsheet takes it for a formula."""
    return _QUOTE + text if _begins_formula(text) or _looks_safe(text) else text


def plain_cell(text: str) -> str:
    """The text that `safe_cell` was given."""
    return text[1:] if _looks_safe(text) else text


def _begins_formula(text: str) -> bool:
    return text.lstrip(" ").startswith(_BREAKS) or text.lstrip().startswith(tuple(FORMULA_SIGNS))


def _looks_safe(text: str) -> bool:
    """Whether it may come from `safe_cell`; a text that only looks so is quoted once more."""
    return text.startswith(_QUOTE) and _begins_formula(text.lstrip(_QUOTE))
