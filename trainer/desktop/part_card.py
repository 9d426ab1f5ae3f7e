"""The card of the part that was picked: what it is called, why it is there, how it wears."""

from __future__ import annotations

from models.spec.build import Build
from trainer.desktop.pieces import Pane, make_label, make_rule, set_text
from trainer.words import Words
from trainer.words.telling import tell_part, tell_piece


class PartCard(Pane):
    """Show one part of a build."""

    def __init__(self, words: Words) -> None:
        super().__init__(words.say("window.part-pane"))
        self._words = words
        self.title = make_label("paneTitle", words.say("window.part-none"))
        self.material = make_label("small")
        self.duty = make_label()
        self.wear = make_label()
        self.caution = make_label("caution")
        self.hint = make_label("small", words.say("window.part-hint"))
        for widget in (
            self.title,
            self.material,
            make_rule(),
            self.duty,
            self.wear,
            self.caution,
            self.hint,
        ):
            self.column.addWidget(widget)
        self.column.addStretch(1)
        for label in (self.material, self.duty, self.wear, self.caution):
            set_text(label, "")

    def show_piece(self, build: Build, name: str) -> None:
        """Show the part of a piece."""
        words = self._words
        piece = build.pieces[name]
        place = piece.place.name
        material = words.say(f"material.{piece.part.material.value}.name")
        many = len(build.places[place])
        self.title.setText(words.say("window.part-title", part=tell_piece(words, build, name)))
        counted = words.count("window.part-count", many, material=material)
        set_text(self.material, counted)
        set_text(self.duty, words.say(f"part.{place}.duty"))
        set_text(self.wear, words.say("window.part-wear", wear=words.say(f"part.{place}.wear")))
        caution = f"part.{place}.caution"
        set_text(self.caution, words.say(caution) if words.has(caution) else "")
        self.setAccessibleDescription(tell_part(words, place))
        self.hint.hide()
