"""Colours and type of the window, taken from the look of the pictures so that both read as one print."""

from __future__ import annotations

from dataclasses import dataclass

from PySide6.QtGui import QColor, QFont, QFontDatabase

from models.spec.errors import SurroundingsError
from trainer.stage.look import Colour, Look, find_letters_file, mix

WHITE: Colour = (255, 255, 255)
BLACK: Colour = (0, 0, 0)
DESIGN_PX = (1280, 720)
"""The window size at which the scale of all type is 1."""
LARGEST_SCALE = 1.6
LETTER_PX = 17
"""Height of what is read, at the design's scale."""
SLOWLY = 0.3
SOFT_SHARE = 0.12
"""How much of the accent is in the ground of what is chosen; warnings must be read on it too."""
IDLE_SHARE = 0.56
"""How much ink is in what cannot be used now: seen to be there, and what it is, yet paler than what can be used."""
LEAST_TITLE = 1.08
TEXT_PERCENTS = (100, 125, 150, 175, 200, 225, 250)
"""What letters can be set to, whatever the window; 250 is two and a half times the design's."""


@dataclass(frozen=True, slots=True)
class Sizes:
    """Sizes in pixels that grow with the window, so that a class reads a large screen from the back."""

    scale: float = 1.0

    def px(self, at_design: float) -> int:
        """Scale a size given for the design window."""
        return round(at_design * self.scale)

    def title_px(self, at_design: float) -> int:
        """Scale letters that are large already: beyond `LARGEST_SCALE` they grow slowly, and stay larger than the rest."""
        over = max(self.scale / LARGEST_SCALE, 1.0)
        slow: float = at_design * min(self.scale, LARGEST_SCALE) * over**SLOWLY
        return round(max(slow, LEAST_TITLE * LETTER_PX * self.scale))

    def air_px(self, at_design: float) -> int:
        """Scale the room around letters, which large letters need no more of."""
        return round(at_design * min(self.scale, LARGEST_SCALE))


def choose_sizes(
    width_px: int, height_px: int, text_percent: int | None = None, look: Look | None = None
) -> Sizes:
    """Choose the sizes for a window; in steps, so that dragging a corner does not restyle at every pixel.

    A percentage that a person has set counts whatever the window and its look are.
    """
    if text_percent is not None:
        return Sizes(text_percent / 100)
    share = min(width_px / DESIGN_PX[0], height_px / DESIGN_PX[1])
    letters = (look or Look()).letters_scale
    return Sizes(letters * min(max(round(share * 10) / 10, 1.0), LARGEST_SCALE))


@dataclass(slots=True)
class Palette:
    """The window's colours: one print with the pictures.

    There is one for all windows of the process, `PALETTE`; `take` changes it in place, so widgets must read
    it whenever they paint and keep no colour of it.

    look: of the pictures, which all colours come from. field: what one writes on. on_accent: letters on the accent.
    idle: what cannot be used now, paler than all else that is written.
    """

    look: Look
    ground: QColor
    paper: QColor
    field: QColor
    ink: QColor
    quiet_ink: QColor
    rule: QColor
    faint: QColor
    soft: QColor
    idle: QColor
    accent: QColor
    on_accent: QColor
    in_the_way: QColor
    alarm: QColor

    def take(self, other: Palette) -> None:
        """Take over the colours of another palette."""
        for name in Palette.__slots__:
            setattr(self, name, getattr(other, name))


def make_palette(look: Look | None = None) -> Palette:
    """Make the window's colours from a look."""
    look = look or Look()

    def shade(share: float) -> QColor:
        return QColor(*mix(look.ground, look.ink, share))

    is_dark = sum(look.ground) < sum(look.ink)
    lifted = mix(look.ground, look.ink, 0.045) if is_dark else mix(look.ground, WHITE, 0.7)
    return Palette(
        look=look,
        ground=QColor(*look.ground),
        paper=QColor(*lifted),
        field=QColor(*mix(look.ground, BLACK, 0.35)) if is_dark else QColor(*WHITE),
        ink=QColor(*look.ink),
        quiet_ink=shade(0.74),
        rule=shade(look.rule_share),
        faint=shade(0.08),
        soft=QColor(*mix(look.ground if is_dark else lifted, look.accent, SOFT_SHARE)),
        idle=shade(IDLE_SHARE),
        accent=QColor(*look.accent),
        on_accent=QColor(*(mix(look.ground, BLACK, 0.5) if is_dark else WHITE)),
        in_the_way=QColor(*look.in_the_way),
        alarm=QColor(*mix(lifted, look.in_the_way, 0.08)),
    )


TEXTS = (
    *((ink, on) for ink in ("ink", "quiet_ink") for on in ("ground", "paper", "field", "faint")),
    *((ink, on) for ink in ("ink", "quiet_ink") for on in ("soft", "alarm")),
    *(("accent", on) for on in ("ground", "paper", "field", "soft")),
    *(("in_the_way", on) for on in ("ground", "paper", "field", "soft", "alarm")),
    ("ground", "ink"),
    ("on_accent", "accent"),
)
"""What is written on what, by names of the palette; a test measures that all of it can be read."""

SIGNS = (
    *(("accent", on) for on in ("ground", "paper", "field", "faint")),
    *(("in_the_way", on) for on in ("ground", "paper", "field", "faint")),
    *(("quiet_ink", on) for on in ("ground", "paper", "field", "faint")),
    ("ink", "field"),
    *(("idle", on) for on in ("ground", "paper", "field", "faint")),
)
"""Marks, borders and strokes that say something, and what they stand on."""


PALETTE = make_palette()


def load_letters() -> QFont:
    """Load the typeface of the pictures for the window too: a bare machine has no fonts at all.

    Raises:
        SurroundingsError: its file is missing or cannot be read.
    """
    look = Look()
    families: list[str] = []
    for name in (look.letters, look.heavy_letters):
        number = QFontDatabase.addApplicationFont(str(find_letters_file(name)))
        families = families or QFontDatabase.applicationFontFamilies(number)
    if not families:
        raise SurroundingsError(f"the typeface {look.letters} cannot be read")
    return QFont(families[0])


def make_style_sheet(sizes: Sizes | None = None) -> str:
    """Make the window's style sheet."""
    sizes = sizes or Sizes()
    px, title, air = sizes.px, sizes.title_px, sizes.air_px
    names = {name: getattr(PALETTE, name).name() for name in Palette.__slots__ if name != "look"}
    return f"""
    QWidget {{ background: {names["ground"]}; color: {names["ink"]}; font-size: {px(17)}px; }}
    QToolTip {{ background: {names["ink"]}; color: {names["ground"]}; border: none; padding: {air(6)}px;
        font-size: {px(15)}px; }}
    QLabel {{ background: transparent; }}
    #head {{ background: {names["paper"]}; border-bottom: 2px solid {names["ink"]}; }}
    #head QLabel {{ background: transparent; }}
    #brand {{ font-size: {title(21)}px; font-weight: 700; }}
    #headText {{ color: {names["quiet_ink"]}; font-size: {px(17)}px; }}
    #beside QScrollArea, #paper, #sheet, #foot {{ background: {names["paper"]}; }}
    #foot {{ border-top: 1px solid {names["rule"]}; }}
    #notice {{ background: {names["alarm"]}; border-bottom: 2px solid {names["in_the_way"]}; }}
    #motion {{ border-top: 1px solid {names["rule"]}; }}
    #paneTitle {{ font-size: {title(25)}px; font-weight: 700; }}
    #heading {{ font-size: {px(15)}px; font-weight: 700; color: {names["quiet_ink"]}; }}
    #stepName {{ font-size: {title(31)}px; font-weight: 700; }}
    #stepNumber {{ font-size: {title(21)}px; color: {names["quiet_ink"]}; }}
    #large {{ font-size: {title(25)}px; font-weight: 700; }}
    #figure {{ font-size: {px(20)}px; font-weight: 700; }}
    #small {{ font-size: {px(15)}px; color: {names["quiet_ink"]}; }}
    #box, #cautionBox, #rightBox {{ border: 1px solid {names["rule"]};
        background: {names["ground"]}; }}
    #cautionBox {{ border: 1px solid {names["in_the_way"]}; border-left: 7px solid {names["in_the_way"]};
        background: {names["alarm"]}; }}
    #rightBox {{ border: 1px solid {names["accent"]}; border-left: 7px solid {names["accent"]};
        background: {names["soft"]}; }}
    #clear {{ background: transparent; }}
    #signRight, #signWrong {{ font-weight: 700; color: {names["accent"]}; }}
    #signWrong {{ color: {names["in_the_way"]}; }}
    #why {{ font-size: {px(15)}px; color: {names["quiet_ink"]}; }}
    #letter {{ font-weight: 700; color: {names["quiet_ink"]}; }}
    #cautionBox #heading {{ color: {names["in_the_way"]}; }}
    #rightBox #heading {{ color: {names["accent"]}; }}
    #before {{ font-size: {px(15)}px; color: {names["in_the_way"]}; }}
    #rule {{ background: {names["rule"]}; max-height: 1px; min-height: 1px; }}
    QPushButton {{ background: {names["paper"]}; border: 1px solid {names["rule"]}; border-radius: 4px;
        padding: {air(7)}px {air(13)}px; min-height: {px(22)}px; }}
    QPushButton:hover {{ background: {names["soft"]}; border-color: {names["accent"]}; }}
    QPushButton:disabled {{ color: {names["idle"]}; background: transparent; }}
    QPushButton:checked {{ background: {names["ink"]}; color: {names["ground"]};
        border-color: {names["ink"]}; }}
    QPushButton#main {{ background: {names["accent"]}; color: {names["on_accent"]}; border-color: {names["accent"]};
        font-weight: 700; }}
    QPushButton#main:hover {{ background: {names["ink"]}; color: {names["ground"]};
        border-color: {names["ink"]}; }}
    QPushButton#main:disabled {{ background: {names["faint"]}; border-color: {names["rule"]};
        color: {names["idle"]}; }}
    QPushButton#link {{ border: none; color: {names["accent"]}; padding: {air(4)}px; text-align: left;
        text-decoration: underline; background: transparent; }}
    QPushButton:focus {{ border: 2px solid {names["in_the_way"]}; padding: {air(7) - 1}px {air(13) - 1}px; }}
    QPushButton#link:focus {{ border: 2px solid {names["in_the_way"]}; padding: {max(air(4) - 2, 0)}px; }}
    QPushButton#main:focus {{ border: 3px solid {names["ink"]}; padding: {air(7) - 2}px {air(13) - 2}px; }}
    #tools QPushButton {{ padding-left: {air(4)}px; padding-right: {air(4)}px; font-size: {px(15)}px; }}
    #tools QPushButton:focus {{ padding-left: {air(4) - 1}px; padding-right: {air(4) - 1}px; }}
    #measured QPushButton#link, #measured QPushButton#link:focus {{ padding-left: 0; }}
    QPushButton#pane {{ padding-left: {air(2)}px; padding-right: {air(2)}px; }}
    QPushButton#pack {{ padding-left: {air(9)}px; padding-right: {air(9)}px; }}
    QPushButton#tap {{ min-height: {px(40)}px; font-size: {px(18)}px;
        padding-left: {air(4)}px; padding-right: {air(4)}px; }}
    QPushButton#tap:focus {{ padding-left: {air(4) - 1}px; padding-right: {air(4) - 1}px; }}
    QLineEdit {{ placeholder-text-color: {names["quiet_ink"]}; }}
    QLineEdit, QPlainTextEdit, QComboBox {{ selection-background-color: {names["accent"]};
        selection-color: {names["on_accent"]}; background: {names["field"]}; border: 1px solid {names["quiet_ink"]};
        border-radius: 4px; padding: {air(7)}px {air(9)}px; min-height: {px(22)}px; }}
    QLineEdit:focus, QPlainTextEdit:focus, QComboBox:focus {{ border: 2px solid {names["in_the_way"]};
        padding: {air(7) - 1}px {air(9) - 1}px; }}
    #sheet QLineEdit {{ padding-left: {air(5)}px; padding-right: {air(5)}px; }}
    QLineEdit:disabled, QComboBox:disabled {{ background: {names["faint"]}; border-color: {names["rule"]}; }}
    QLineEdit#wrong {{ border: 2px dashed {names["in_the_way"]}; background: {names["alarm"]}; }}
    QComboBox::drop-down {{ border: none; width: {px(30)}px; }}
    QComboBox {{ combobox-popup: 0; }}  /* a list as long as its lines: the other kind cuts the last one off */
    QComboBox QAbstractItemView {{ background: {names["field"]}; color: {names["ink"]}; outline: none;
        border: 1px solid {names["ink"]};
        selection-background-color: {names["accent"]}; selection-color: {names["on_accent"]}; }}
    QComboBox QAbstractItemView::item {{ min-height: {px(28)}px; padding: 0 {air(6)}px; }}
    QListWidget, QTreeView {{ background: {names["field"]}; border: 1px solid {names["quiet_ink"]}; border-radius: 4px;
        outline: none; }}
    QListWidget:focus, QTreeView:focus {{ border: 2px solid {names["in_the_way"]}; }}
    QHeaderView {{ background: {names["field"]}; }}
    QHeaderView::section {{ background: transparent; color: {names["quiet_ink"]}; border: none;
        border-bottom: 1px solid {names["rule"]}; padding: {air(4)}px {air(6)}px; }}
    QListView#names {{ background: {names["field"]}; border: 1px solid {names["ink"]}; outline: none;
        selection-background-color: {names["accent"]}; selection-color: {names["on_accent"]}; }}
    QListView#names::item {{ min-height: {px(28)}px; padding: 0 {air(6)}px; }}
    QFileDialog QListView, QFileDialog QTreeView {{ background: {names["field"]}; border: 1px solid {names["quiet_ink"]};
        selection-background-color: {names["accent"]}; selection-color: {names["on_accent"]}; }}
    QFileDialog QToolButton {{ background: {names["paper"]}; border: 1px solid {names["rule"]}; border-radius: 4px;
        padding: {air(4)}px; }}
    QFileDialog QToolButton:hover {{ background: {names["soft"]}; border-color: {names["accent"]}; }}
    QMenu {{ background: {names["paper"]}; border: 1px solid {names["ink"]}; padding: {air(4)}px; }}
    QMenu::item {{ padding: {air(6)}px {air(24)}px {air(6)}px {air(26)}px; background: transparent; }}
    QMenu::item:selected {{ background: {names["accent"]}; color: {names["on_accent"]}; }}
    QMenu::item:disabled {{ color: {names["idle"]}; }}
    QMenu::separator {{ height: 1px; background: {names["rule"]}; margin: {px(4)}px {px(8)}px; }}
    QMenu::indicator {{ left: {px(8)}px; width: {px(11)}px; height: {px(11)}px; }}
    QMenu::indicator:checked {{ background: {names["ink"]}; border: 1px solid {names["ink"]}; }}
    QMenu::indicator:unchecked {{ background: transparent; border: 1px solid {names["quiet_ink"]}; }}
    #menuHead {{ font-weight: 700; padding: {air(6)}px {air(12)}px; }}
    QPushButton#entry {{ padding: {air(3)}px {air(9)}px; border-radius: {px(14)}px; }}
    QPushButton#entry:focus {{ padding: {air(3) - 1}px {air(9) - 1}px; }}
    QPushButton#entry::menu-indicator {{ width: 0; }}
    #guesses::item {{ padding: {air(4)}px; border-bottom: 1px solid {names["faint"]}; }}
    #guesses::item:selected {{ background: {names["soft"]}; color: {names["accent"]}; }}
    QScrollArea {{ border: none; }}
    QScrollBar:vertical {{ width: {px(12)}px; background: transparent; margin: 0; }}
    QScrollBar::handle:vertical {{ background: {names["rule"]}; border-radius: {px(5)}px;
        min-height: 40px; margin: 1px 2px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; }}
    QScrollBar::add-page, QScrollBar::sub-page {{ background: transparent; }}
    QProgressBar {{ background: {names["faint"]}; border: 1px solid {names["rule"]}; max-height: {px(8)}px;
        min-height: {px(8)}px; border-radius: {px(4)}px; }}
    QProgressBar::chunk {{ background: {names["accent"]}; border-radius: {px(4)}px; }}
    """
