"""The command `results`: named numbers with the rows behind them; and the views that tell them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner
from PIL import Image

from models.spec.errors import RefusalError
from trainer.console import make_console
from trainer.console.drawing import draw_view
from trainer.session.bench import open_bench
from trainer.stage.close_up import ABOVE_SHARE
from trainer.words import load_words

SEAL = "mechanical-seal/38"


def run(*arguments: str) -> str:
    result = CliRunner().invoke(make_console(), list(arguments))
    assert result.exit_code == 0, result.output
    return result.stdout


@pytest.mark.parametrize(("balance", "value"), [("unbalanced", 1.279), ("balanced", 0.820)])
def test_the_balance_ratio_is_told_for_scripts_and_for_people(balance: str, value: float) -> None:
    chosen = (SEAL, "--with", f"seal-balance={balance}")
    (told,) = json.loads(run("results", *chosen, "--json"))
    assert told["value"] == pytest.approx(value, abs=1e-3)
    assert all(one["source"].startswith("sizes/") for one in told["dimensions"])
    assert f"{value:.2f}" in run("results", *chosen)


def test_a_build_without_results_says_so() -> None:
    assert json.loads(run("results", "flanges/100", "--json")) == []
    assert "flanges/100 has no named results" in run("results", "flanges/100")


def test_a_chart_of_a_build_without_options_is_refused_with_the_reason(tmp_path: Path) -> None:
    arguments = ["chart", "materials/board", "--out", str(tmp_path / "chart")]
    with pytest.raises(RefusalError, match="has no options"):
        CliRunner().invoke(make_console(), arguments, catch_exceptions=False)


def test_a_close_view_shows_the_section_above_the_shaft_larger_than_the_whole() -> None:
    bench, words = open_bench("radial-shaft-seals/45"), load_words()
    views = {view.name: view for view in bench.build.family.views}
    assert views["isolator-close"].above
    assert 0 < ABOVE_SHARE < 1
    whole, close = (
        draw_view(words, bench, views[name], size=(640, 360))
        for name in ("three-shaft-seals", "isolator-close")
    )
    assert count_bronze(close) > 5 * count_bronze(whole)


def count_bronze(picture: Image.Image) -> int:
    """Count the pixels of the stator's cut face: it alone is of bronze."""
    tone = (213, 196, 166)
    pixels = picture.convert("RGB").tobytes()
    found = zip(pixels[0::3], pixels[1::3], pixels[2::3], strict=True)
    return sum(all(abs(a - b) < 16 for a, b in zip(pixel, tone, strict=True)) for pixel in found)
