"""Draw questions from builds: every kind computes its own key, so that none can go stale."""

from trainer.session.asking.benches import Benches
from trainer.session.asking.drawing import draw_item, list_subjects
from trainer.session.asking.kind import Draw, Kind

__all__ = ["Benches", "Draw", "Kind", "draw_item", "list_subjects"]
