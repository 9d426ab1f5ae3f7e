"""The bench of the consequences, at tiny size: a drag is far cheaper than building the pump anew."""

from __future__ import annotations

from tests.bench import bench_service


def test_a_drag_is_many_times_cheaper_than_building_anew() -> None:
    rows = bench_service.run(looks=20, anew=3)
    assert len(rows) == len(bench_service.BUILDS)
    assert all(row.ratio > 5.0 for row in rows)
    assert "ratio" in bench_service.tell(rows)
