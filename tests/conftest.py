"""How property tests draw their examples.

A run of all checks draws the same ones each time: what it says of a change must not hang on luck.
`pytest --hypothesis-profile=search` draws new ones, to find what nobody has thought of.
"""

from hypothesis import settings

settings.register_profile("same-examples", derandomize=True, deadline=None)
settings.register_profile("search", derandomize=False, deadline=None)
settings.load_profile("same-examples")
