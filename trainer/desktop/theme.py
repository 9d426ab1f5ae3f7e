"""Colours and type of the window, taken from the look of the pictures so that both read as one print."""

from __future__ import annotations

from trainer.stage.look import Colour, Look, mix

BODY_PX = 17
TITLE_PX = 24
STEP_PX = 28
PANE_PX = 430


def name_colour(colour: Colour) -> str:
    """Write a colour as the style sheet wants it."""
    return "#{:02x}{:02x}{:02x}".format(*colour)


def make_style_sheet(look: Look | None = None) -> str:
    """Make the window's style sheet from a look."""
    look = look or Look()
    ground, ink, accent = (name_colour(c) for c in (look.ground, look.ink, look.accent))
    paper = name_colour(mix(look.ground, (255, 255, 255), 0.6))
    rule = name_colour(mix(look.ground, look.ink, 0.28))
    faint = name_colour(mix(look.ground, look.ink, 0.08))
    soft = name_colour(mix(look.ground, look.accent, 0.14))
    warning = name_colour(look.in_the_way)
    return f"""
    QWidget {{ background: {ground}; color: {ink}; font-size: {BODY_PX}px; }}
    QLabel#paneTitle {{ font-size: {TITLE_PX}px; font-weight: 700; }}
    QLabel#stepName {{ font-size: {STEP_PX}px; font-weight: 600; }}
    QLabel#small {{ color: {name_colour(mix(look.ground, look.ink, 0.72))}; }}
    QLabel#caution {{ border-left: 6px solid {warning}; padding: 8px 12px; background: {paper}; }}
    QLabel#right {{ border-left: 6px solid {accent}; padding: 8px 12px; background: {paper}; }}
    QFrame#rule {{ background: {rule}; max-height: 1px; min-height: 1px; }}
    QPushButton {{ background: {paper}; border: 1px solid {rule}; border-radius: 4px; padding: 8px 14px; }}
    QPushButton:hover {{ background: {soft}; }}
    QPushButton:focus {{ border: 2px solid {accent}; padding: 7px 13px; }}
    QPushButton:disabled {{ color: {rule}; background: {ground}; }}
    QPushButton:checked {{ background: {accent}; color: {ground}; border-color: {accent}; }}
    QPushButton#main {{ background: {accent}; color: {ground}; border-color: {accent}; font-weight: 600; }}
    QPushButton#main:focus {{ border: 2px solid {ink}; }}
    QPushButton#main:disabled {{ background: {rule}; border-color: {rule}; }}
    QLineEdit, QComboBox {{ background: {paper}; border: 1px solid {rule}; border-radius: 4px; padding: 7px 9px; }}
    QLineEdit:focus, QComboBox:focus {{ border: 2px solid {accent}; padding: 6px 8px; }}
    QComboBox::drop-down {{ border: none; width: 30px; }}
    QComboBox QAbstractItemView {{ background: {paper}; selection-background-color: {accent};
        selection-color: {ground}; }}
    QListWidget {{ background: {paper}; border: 1px solid {rule}; border-radius: 4px; outline: none; }}
    QListWidget::item {{ padding: 7px 10px; border-bottom: 1px solid {faint}; }}
    QListWidget::item:selected {{ background: {soft}; color: {ink}; border-left: 4px solid {accent}; }}
    QListWidget:focus {{ border: 2px solid {accent}; }}
    QScrollArea {{ border: none; }}
    QSlider {{ min-height: 34px; }}
    QSlider::groove:horizontal {{ height: 8px; background: {rule}; border-radius: 4px; }}
    QSlider::sub-page:horizontal {{ height: 8px; background: {accent}; border-radius: 4px; }}
    QSlider::handle:horizontal {{ width: 24px; height: 24px; margin: -8px 0; border-radius: 12px;
        background: {paper}; border: 3px solid {accent}; }}
    QSlider::handle:horizontal:focus {{ background: {accent}; }}
    QScrollBar:vertical {{ width: 12px; background: {ground}; }}
    QScrollBar::handle:vertical {{ background: {rule}; border-radius: 6px; min-height: 40px; }}
    QScrollBar::add-line, QScrollBar::sub-line {{ height: 0; }}
    """
