"""Pieces for pictures: a drawing as an image address, what a picture shows in the family's language."""

from __future__ import annotations

import base64

from django import template

from bylittle.library import objects
from bylittle.library.drawings import Drawing
from bylittle.library.objects import Thing
from bylittle.web.people.models import Child
from bylittle.web.pictures.models import Picture

register = template.Library()


@register.filter
def as_image(drawing: Drawing | Thing) -> str:
    """A drawing, or a thing of the open set, as an address for `img`."""
    return "data:image/svg+xml;base64," + base64.b64encode(drawing.svg.encode()).decode("ascii")


@register.filter
def drawn_words(drawing: Drawing | Thing) -> str:
    """What it shows."""
    return drawing.alt["en"]


@register.filter
def thing(picture: Picture) -> Thing:
    """The thing of the open set that a picture stands for."""
    return objects.thing(picture.thing)


@register.filter
def shown_words(picture: Picture, child: Child) -> str:
    """What a picture shows, in the language that the family reads first."""
    return str(picture.shows.get(child.language) or next(iter(picture.shows.values()), ""))
