"""What the demonstration pump's tables say, for checks against values from outside the project."""

from __future__ import annotations

import pytest

from models.builds import make_named_build
from models.spec.build import Build


@pytest.fixture(scope="session")
def pump() -> Build:
    return make_named_build("end-suction/100-250")
