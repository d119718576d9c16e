"""How the property tests run: the same examples everywhere, and no test fails for a slow machine."""

from hypothesis import settings

settings.register_profile("same everywhere", derandomize=True, deadline=None, database=None)
settings.load_profile("same everywhere")
