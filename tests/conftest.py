"""Settings for every test: the same random cases in every CI run, and one thread to a worker."""

import os

for _library in ("OPENBLAS", "OMP"):
    os.environ.setdefault(f"{_library}_NUM_THREADS", "1")

from hypothesis import settings  # noqa: E402

settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")
