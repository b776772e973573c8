"""The form of the materials screen: what a thing is, in sizes and in what is on it."""

from __future__ import annotations

from typing import Any

from django import forms

from bylittle.core.skill.materials import SIZES, Thing
from bylittle.web.people.forms import YES_NO_UNKNOWN
from bylittle.web.skills.measures import MeasureField

SHAPES = [
    ("", "soft, or of no set shape"),
    ("sphere", "a ball"),
    ("cylinder", "a rod, disc or peg"),
    ("box", "a box or flat thing"),
    ("ring", "a ring"),
]
SIZE_LABELS = {
    "diameter_mm": "Across",
    "length_mm": "Long",
    "x_mm": "One side",
    "y_mm": "Second side",
    "z_mm": "Third side",
    "outer_mm": "Across the whole ring",
    "thickness_mm": "Thick",
}
PARTS = (
    ("ball", "is a ball to roll or throw"),
    ("marble", "is a marble"),
    (
        "exempt",
        "is a crayon, a button of the clothing, a spoon or a brush (the small-parts rule exempts these)",
    ),
    ("loose_magnet", "has a magnet that is loose or could come loose"),
    ("coin_cell", "has a coin or button cell"),
    ("cell_locked", "and the cell's lid needs a tool or two moves at once"),
    ("latex_balloon", "is a latex balloon"),
    ("heat", "gets hot"),
    ("water", "is used with water"),
    ("sharp", "is sharp or pointed"),
    ("made_to_climb", "is made to be climbed on (a slide, a climbing frame; not a stool or a chair)"),
    ("food", "is food or drink"),
    ("choking_food", "is round, hard, sticky or tough food (grape, nut, sausage, popcorn, raw carrot ...)"),
    ("food_is_reward", "is food given as a prize"),
)
MEASURES = (
    ("cord_mm", "Free cord", "mm"),
    ("loop_mm", "Loop, all the way round", "mm"),
    ("height_mm", "Height the child stands or sits at", "mm"),
    ("water_c", "Water, warm", "°C"),
    ("magnet_flux", "Flux index of the loose magnet, from its papers", "kG² mm²"),
)
_YES_NO = {"True": True, "False": False}


class ThingForm(forms.Form):
    """One thing. Sizes are asked for by shape; what is not there stays empty."""

    name = forms.CharField(max_length=80, label="What it is")
    shape = forms.ChoiceField(choices=SHAPES, required=False, widget=forms.RadioSelect, label="Its shape")
    swallow_concern = forms.ChoiceField(
        choices=YES_NO_UNKNOWN, required=False, label="If food or drink: is there a worry about swallowing?"
    )
    food_allergy = forms.ChoiceField(
        choices=YES_NO_UNKNOWN, required=False, label="If food or drink: is there a food allergy?"
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["shape"].initial = ""
        for name, label in SIZE_LABELS.items():
            self.fields[name] = MeasureField(label)
        for name, label, unit in MEASURES:
            self.fields[name] = MeasureField(label, unit)
        for name, label in PARTS:
            self.fields[name] = forms.BooleanField(required=False, label=label)

    def size_rows(self) -> list[tuple[str, Any]]:
        """Each size with the shapes that need it."""
        wanted = {name: " ".join(each for each in SIZES if name in SIZES[each]) for name in SIZE_LABELS}
        return [(wanted[name], self[name]) for name in SIZE_LABELS]

    def measure_rows(self) -> list[Any]:
        return [self[name] for name, _, _ in MEASURES]

    def part_rows(self) -> list[Any]:
        return [self[name] for name, _ in PARTS]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        shape = data.get("shape", "")
        self._check_sizes(data, shape)
        if shape != "sphere" and (data.get("ball") or data.get("marble")):
            self.add_error("shape", "A ball or a marble is measured as a ball: choose that shape.")
        if data.get("made_to_climb") and not data.get("height_mm") and "height_mm" not in self.errors:
            self.add_error("height_mm", "Say how high the child stands or sits on it.")
        if data.get("magnet_flux") and not data.get("loose_magnet"):
            self.add_error("magnet_flux", "This counts for a loose magnet: tick it below, or empty this.")
        if data.get("cell_locked") and not data.get("coin_cell"):
            self.add_error("cell_locked", "Tick the coin or button cell as well, or untick this.")
        return data

    def _check_sizes(self, data: dict[str, Any], shape: str) -> None:
        for name in SIZES.get(shape, ()):
            if data.get(name) is None and name not in self.errors:
                self.add_error(name, "This shape needs this size.")
        others = [name for name in SIZE_LABELS if name not in SIZES.get(shape, ())]
        if not shape and any(data.get(name) for name in others):
            self.add_error("shape", "Sizes are given: choose the shape that they belong to.")
        thick, outer = data.get("thickness_mm"), data.get("outer_mm")
        if shape == "ring" and thick and outer and thick > outer / 2:
            self.add_error("thickness_mm", f"A ring of {outer:g} mm is {outer / 2:g} mm thick at most.")

    @property
    def thing(self) -> Thing:
        """What was told, as the core's value."""
        data = self.cleaned_data
        told = {name: data[name] for name, _ in PARTS} | {name: data[name] for name, _, _ in MEASURES}
        told["water"] = told["water"] or told["water_c"] is not None
        told["food"] = told["food"] or told["choking_food"] or told["food_is_reward"]
        shape = data["shape"] or None
        sizes = {name: data[name] for name in SIZES[shape]} if shape else None
        return Thing(shape=shape, sizes_mm=sizes, **told)

    @property
    def swallowing(self) -> bool | None:
        return _YES_NO.get(self.cleaned_data["swallow_concern"])

    @property
    def allergy(self) -> bool | None:
        return _YES_NO.get(self.cleaned_data["food_allergy"])
