"""The diagram of spread: every method has its own sign, what is required is a band, the shares stand beside it."""

from __future__ import annotations

import numpy as np
import pytest
from matplotlib.container import ErrorbarContainer
from matplotlib.figure import Figure
from matplotlib.lines import Line2D
from matplotlib.patches import Rectangle, StepPatch

from models.builds import make_named_build
from trainer.core.measure.chain import measure_clearances
from trainer.core.measure.spread import Method, compare_spreads
from trainer.stage.diagram import draw_figure
from trainer.stage.spread_diagram import MOST_BARS, SpreadTexts, paint_spread

ONE = next(
    one
    for one in measure_clearances(make_named_build("end-suction/100-250"))
    if one.name == "front-gap"
)
TEXTS = SpreadTexts(
    {method: method.value for method in Method}, "required", "gap", "often", "who", "others"
)


@pytest.fixture(scope="module")
def figure() -> Figure:
    """The figure as it was painted."""
    kept: list[Figure] = []
    spreads = compare_spreads(ONE, np.random.default_rng(1), 5_000)
    shares = {f"{link.piece} {link.dimension}": link.share for link in ONE.service_chain}

    def paint(blank: Figure) -> None:
        paint_spread(blank, spreads, ONE.required_mm, shares, TEXTS)
        kept.append(blank)

    assert draw_figure(paint, ".svg", title="Gap").startswith(b"<?xml")
    return kept[0]


def test_every_method_has_a_sign_of_its_own_and_is_named(figure: Figure) -> None:
    axes = figure.axes[0]
    legend = axes.get_legend()
    assert legend is not None
    names = [text.get_text() for text in legend.get_texts()]
    assert names == [method.value for method in Method]
    lines = {line.get_label(): line for line in axes.findobj(Line2D)}
    assert lines["exact"].get_linestyle() == "-"
    assert lines["root-sum-square"].get_linestyle() == "--"
    steps = [patch for patch in axes.patches if isinstance(patch, StepPatch)]
    assert [patch.get_hatch() for patch in steps] == ["////"]
    assert [type(one) for one in axes.containers] == [ErrorbarContainer]


def test_all_limits_are_in_sight(figure: Figure) -> None:
    low, high = figure.axes[0].get_xlim()
    assert low < min(ONE.required_mm[0], ONE.worst_mm[0])
    assert high > max(ONE.required_mm[1], ONE.worst_mm[1])


def test_shares_stand_beside_it_and_come_to_the_whole(figure: Figure) -> None:
    bars = [bar for bar in figure.axes[1].patches if isinstance(bar, Rectangle)]
    assert len(bars) <= MOST_BARS
    assert sum(bar.get_width() for bar in bars) == pytest.approx(1.0, abs=0.006)
    told = [text.get_text() for text in figure.axes[1].texts]
    assert any("impeller" in text for text in told)
    assert sum(text.endswith(" %") for text in told) == len(bars)
