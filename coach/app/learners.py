"""Whose attempt it is: a name, looked up in the register or added to it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from coach.edges.register_file import RegisterFile
from coach.records.names import nearest_called


def learners_id(
    name: str, environ: Mapping[str, str], tell: Callable[[str], None] = lambda _: None
) -> str:
    """The id of the learner of that name, who is added to the register if nobody is called so.

    That is told, with who is called nearly so: a slip of the pen would part one person's attempts.
    InputError for a name that several people have, or that cannot be one.
    """
    register = RegisterFile.of(environ)
    known = register.learner_named(name)
    if known is not None:
        return known
    near = nearest_called(name, (one.called for one in register.read().learners.values()))
    added = register.add_learner(name)
    tell(
        f"{name} is new in the register."
        + (f' If {near} is meant: coach records join "{name}" "{near}".' if near else "")
    )
    return added
