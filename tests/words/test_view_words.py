"""Every view a family declares can be drawn: the stage knows its camera, its places exist, its title is written."""

from __future__ import annotations

from models.builds import FAMILIES
from trainer.stage.camera import ViewName
from trainer.words import load_words


def test_every_view_names_a_camera_places_that_exist_and_a_title() -> None:
    words = load_words()
    for family in FAMILIES.values():
        places = set(family.every_place())
        for view in family.views:
            assert view.camera in set(ViewName)
            assert {*view.named, *view.close_to, *view.away} <= places, view.name
            assert words.has(f"view.{view.name}")


def test_no_two_views_of_a_family_share_a_name() -> None:
    for family in FAMILIES.values():
        names = [view.name for view in family.views]
        assert len(set(names)) == len(names)
