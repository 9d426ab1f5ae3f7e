"""One made-up pump and one stage for all tests of a module: making them costs more than using them."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from types import ModuleType

import pytest

from models.spec.assembly import Assembly


def _load_bench_pump() -> ModuleType:
    # Tests are imported by path, so a neighbour is no package member and must be loaded by path too.
    path = Path(__file__).with_name("bench_pump.py")
    spec = importlib.util.spec_from_file_location("stage_bench_pump", path)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    sys.modules[spec.name] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="session")
def bench_pump() -> Assembly:
    made = _load_bench_pump().make_bench_pump()
    assert isinstance(made, Assembly)
    return made
