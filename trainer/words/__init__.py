"""Hold every sentence a person reads: a key and its fields in, a text out.

Faces never write sentences; they hold a `Words` and ask it. The texts lie in
gettext catalogues, one folder a language (`en/*.po`), which a translator can
edit with any PO editor.
"""

from trainer.words.speech import LengthUnit, Words, list_languages, load_words

__all__ = ["LengthUnit", "Words", "list_languages", "load_words"]
