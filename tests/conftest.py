"""Settings for every test: the same random cases in every CI run, and one thread to a worker."""

import os

for _library in ("OPENBLAS", "OMP"):
    os.environ.setdefault(f"{_library}_NUM_THREADS", "1")

import pytest  # noqa: E402
from hypothesis import settings  # noqa: E402

settings.register_profile("ci", derandomize=True, deadline=None)
settings.register_profile("here", deadline=None)
settings.load_profile("ci" if os.environ.get("CI") else "here")


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Tests in a browser come last: its driver keeps an event loop in its process, beside which no test can run its own."""
    items.sort(key=lambda item: item.get_closest_marker("browser") is not None)
