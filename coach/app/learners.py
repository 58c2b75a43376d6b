"""Whose attempt it is: a name, looked up in the register or added to it."""

from __future__ import annotations

from collections.abc import Mapping

from coach.edges.register_file import RegisterFile


def learners_id(name: str, environ: Mapping[str, str]) -> str:
    """The id of the learner of that name, who is added to the register if nobody is called so.

    InputError for a name that several people have, or that cannot be one.
    """
    register = RegisterFile.of(environ)
    return register.learner_named(name) or register.add_learner(name)
