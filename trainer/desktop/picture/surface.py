"""What every surface can do: it gets on the screen what a view shows, one by frames, one by the graphics card."""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Generator
from enum import StrEnum
from typing import TYPE_CHECKING, TypeAlias

from PySide6.QtGui import QPainter

from trainer.stage.look import Look
from trainer.stage.scene import Finish, Stage

if TYPE_CHECKING:
    from models.spec.assembly import Assembly


Steps: TypeAlias = Generator[None, None, None]
"""Work that pauses before it would keep the window's thread for too long."""


class SurfaceName(StrEnum):
    """FRAMES are drawn off screen and painted as images; LIVE is drawn in the window by the graphics card."""

    FRAMES = "frames"
    LIVE = "live"


class Surface(ABC):
    """How a picture gets on the screen; what is in it is the view's to say, and is read from it whenever one is drawn."""

    name: SurfaceName
    finish = Finish.MOVING
    """How much care the picture on the screen got."""

    @property
    @abstractmethod
    def full(self) -> Stage | None:
        """The stage with whole meshes; None while there is nothing to see."""

    @property
    @abstractmethod
    def front(self) -> Stage | None:
        """The stage that is cheapest to use and shows the right pump."""

    @property
    @abstractmethod
    def is_drawing(self) -> bool:
        """Is a careful picture half drawn?"""

    @property
    def is_settled(self) -> bool:
        """Does the full stage stand as the view says, so that it can be asked something at once?"""
        return self.full is not None and self.finish is not Finish.MOVING

    @abstractmethod
    def show_assembly(self, full: Assembly) -> None:
        """Take an assembly; what stood there before goes."""

    @abstractmethod
    def show_light(self, light: Assembly) -> None:
        """Take the light stand-ins of it, for motion."""

    @abstractmethod
    def prepare_full(self, full: Assembly) -> Steps:
        """Make ready what `show_assembly` will need, in steps; what is shown stays."""

    @abstractmethod
    def prepare_light(self, light: Assembly) -> Steps:
        """Make ready what `show_light` will need, in steps."""

    @abstractmethod
    def prepare_cut(self) -> Steps:
        """Make ready what the first cut will need beside the meshes, in steps."""

    @abstractmethod
    def set_look(self, look: Look) -> None:
        """Colour everything anew."""

    @abstractmethod
    def draw_soon(self) -> None:
        """Draw quickly as soon as the window has looked after its user, and with care once nothing has changed for a while."""

    @abstractmethod
    def draw_moving(self) -> None:
        """Draw quickly at once."""

    @abstractmethod
    def draw_first(self) -> Steps:
        """Draw quickly, in steps: whole meshes take long."""

    @abstractmethod
    def begin_still(self) -> None:
        """Begin to draw with care, pass by pass."""

    @abstractmethod
    def drop(self) -> None:
        """Drop what is half drawn, because a stage is used for something else; it is begun anew after a while."""

    @abstractmethod
    def paint(self, painter: QPainter) -> bool:
        """Paint the picture where the surface does not show it by itself; False while there is none."""

    @abstractmethod
    def fit_size(self) -> None:
        """Follow the view's size."""

    @abstractmethod
    def close(self) -> None:
        """Give back what the graphics library holds."""
