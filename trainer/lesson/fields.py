"""What the values of a lesson file may be, as pydantic checks them."""

from __future__ import annotations

import re
from typing import Annotated

from pydantic import AfterValidator, BaseModel, BeforeValidator, ConfigDict, Field
from pydantic_core import PydanticCustomError

# Pictures, links and raw HTML would let a lesson from elsewhere reach for files or the network. What a link leads to may
# be said anywhere, in a quotation or a list too, but always behind "]:".
_REACHING_OUT = re.compile(r"\][(:]|<[A-Za-z/!?]|://|\bwww\.", re.IGNORECASE)


class Written(BaseModel):
    """A mapping of a lesson file: what it does not name may not stand in it."""

    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True)


def _check_markdown(text: str) -> str:
    if _REACHING_OUT.search(text):
        raise PydanticCustomError("reaching_out", "holds a link, a picture or HTML")
    if text.count("**") % 2:
        raise PydanticCustomError("bold_left_open", "leaves bold open")
    return text


def _check_distinct(names: tuple[str, ...]) -> tuple[str, ...]:
    twice = sorted({name for name in names if names.count(name) > 1})
    if twice:
        raise PydanticCustomError("twice", "names {names} twice", {"names": ", ".join(twice)})
    return names


def _read_truth(text: object) -> object:
    # Only YAML 1.2's own two words: "yes" and "on" mean different things to different readers.
    return {"true": True, "false": False}.get(text, "neither") if isinstance(text, str) else text


Id = Annotated[str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*$", max_length=80)]
ClearanceName = Annotated[
    str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*(\.[a-z0-9]+(-[a-z0-9]+)*)?$", max_length=80)
]
"""A clearance that a kind of part brings along is called PLACE.WHAT."""
BuildName = Annotated[
    str, Field(pattern=r"^[a-z0-9]+(-[a-z0-9]+)*/[a-z0-9]+(-[a-z0-9]+)*$", max_length=80)
]
Line = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_check_markdown)]
Markdown = Annotated[str, Field(min_length=1, max_length=8000), AfterValidator(_check_markdown)]
Names = Annotated[tuple[Id, ...], Field(max_length=100), AfterValidator(_check_distinct)]
Millimetres = Annotated[float, Field(ge=0, le=100, allow_inf_nan=False)]
Truth = Annotated[bool, BeforeValidator(_read_truth)]
Choices = Annotated[dict[Id, Id], Field(max_length=20)]
