"""Forms of pictures: sending in, place and words, consent, the editor's numbers, the taps of a clip."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from django import forms
from django.http import QueryDict
from django.utils import timezone

from bylittle.core.faults import Fault
from bylittle.reading.photos.finish import Crop, as_boxes
from bylittle.reading.photos.opening import MOST_BYTES
from bylittle.web.people.faults import told_all
from bylittle.web.people.forms import DateInput
from bylittle.web.people.many_files import ManyFilesField, ManyFilesInput
from bylittle.web.pictures import edits, places
from bylittle.web.pictures.models import Consent, Purpose, Tray, TrayPhoto
from bylittle.web.pictures.queries import standing_consents
from bylittle.web.skills.models import SkillVersion

LARGEST_CLIP = 300_000_000
LONGEST_WORDS = 160
CONSENT_DAYS, MOST_CONSENT_DAYS = 182, 731  # proposed, and at most: our choice, local rules come first
NEW = "new"


class PhotosForm(forms.Form):
    """One photo or several, chosen or taken just now."""

    photos = ManyFilesField(
        largest=MOST_BYTES,
        allow_empty_file=True,
        label="Choose photos",
        widget=ManyFilesInput(attrs={"multiple": True, "accept": "image/*,.heic,.heif"}),
        error_messages={"required": "No photo was chosen yet."},
    )


class ClipForm(forms.Form):
    """One short clip."""

    clip = forms.FileField(
        label="Choose a clip",
        widget=forms.FileInput(attrs={"accept": "video/*"}),
        error_messages={"required": "No clip was chosen yet."},
    )

    def clean_clip(self) -> Any:
        clip = self.cleaned_data["clip"]
        if clip.size > LARGEST_CLIP:
            most = LARGEST_CLIP // 1_000_000
            raise forms.ValidationError(
                f"This clip is {clip.size // 1_000_000} megabytes; up to {most} are taken. "
                "Cut it on the phone to the part that shows the skill."
            )
        return clip


class TrayPhotoForm(forms.Form):
    """Where a photo goes, what it shows in each language of the family, and that a person looked at it."""

    place = forms.ChoiceField(
        label="Goes to",
        error_messages={"required": "Choose where it goes, or throw this photo away."},
    )
    looked = forms.BooleanField(
        label="I have looked: the words are right, and no face is seen that should not be",
        error_messages={"required": "Please look at the picture closely, then tick this."},
    )

    def __init__(self, photo: TrayPhoto, version: SkillVersion, data: Any = None) -> None:
        super().__init__(data, prefix=f"p{photo.pk}", initial={"place": photo.place, "looked": photo.looked})
        self.photo = photo
        self.fields["place"].choices = [("", "choose a place"), *places.choices(version)]  # type: ignore[attr-defined]
        self.languages = places.family_languages(version.skill.child)
        for language in self.languages:
            self.fields[f"shows_{language}"] = forms.CharField(
                max_length=LONGEST_WORDS,
                initial=photo.shows.get(language, ""),
                label=self._label(language),
                error_messages={"required": "Please say what the picture shows: it is read aloud to some."},
            )

    @property
    def stamp(self) -> str:
        """Names the picture as it is now, for its address."""
        return edits.edit_of(self.photo).stamp

    def _label(self, language: str) -> str:
        other = f", in {places.in_english(language)}" if language != "en" or len(self.languages) > 1 else ""
        return f"What the picture shows{other}"

    def shows_fields(self) -> list[Any]:
        return [self[f"shows_{language}"] for language in self.languages]

    def shows(self) -> dict[str, str]:
        """The words as they were typed, also where something else is still open."""
        told = self.data
        return {
            language: told.get(self.add_prefix(f"shows_{language}"), "").strip()[:LONGEST_WORDS]
            for language in self.languages
        }

    def read_again(self, shows: dict[str, str]) -> None:
        """Other words than were typed: they stand in the fields, and the picture is not looked at yet."""
        told = {name: self.data.get(name) for name in self.data}
        told |= {self.add_prefix(f"shows_{language}"): words for language, words in shows.items()}
        told.pop(self.add_prefix("looked"), None)
        self.data = told
        self.errors["looked"] = self.error_class(["The words follow the new place: please read them again."])

    def typed_place(self) -> str:
        told = self.data.get(self.add_prefix("place"), "")
        return told if told in dict(self.fields["place"].choices) else ""  # type: ignore[attr-defined]


class ConsentForm(forms.ModelForm):
    """Purpose, who gave it, when, until when."""

    class Meta:
        model = Consent
        fields = ("given_by", "relation", "purpose", "given_on", "until")
        widgets = {"given_on": DateInput(), "until": DateInput(), "purpose": forms.RadioSelect()}
        labels = {
            "given_by": "Who gave it",
            "relation": "Relation to the child",
            "purpose": "What for",
            "until": "Last day",
        }
        error_messages = {
            "given_by": {"required": "Please write who allowed it."},
            "relation": {"required": "Please write how they belong to the child: mother, guardian ..."},
            "until": {"required": "A consent needs a last day: choose one."},
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["given_by"].widget.attrs |= {"list": "adults", "autocomplete": "off"}
        self.fields["relation"].widget.attrs |= {"list": "relations", "autocomplete": "off"}
        self.fields["purpose"].choices = Purpose.choices  # type: ignore[attr-defined]
        today = timezone.localdate()
        self.initial["given_on"] = self.initial.get("given_on") or today
        self.initial["until"] = self.initial.get("until") or today + timedelta(days=CONSENT_DAYS)

    def clean_given_on(self) -> date:
        day: date = self.cleaned_data["given_on"]
        if day > timezone.localdate():
            raise forms.ValidationError(f"{day:%-d %B %Y} is still to come.")
        return day

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        begin, end = data.get("given_on"), data.get("until")
        if end and end < timezone.localdate():
            self.add_error("until", "This day is past: nothing could be printed. Choose a later one.")
        elif begin and end and (end - begin).days > MOST_CONSENT_DAYS:
            self.add_error("until", "Two years at most: by then a family should be asked again.")
        return data


class TrayConsentForm(ConsentForm):
    """A consent for what lies on a tray: a new one, or one of the child's that still stands."""

    which = forms.ChoiceField(widget=forms.RadioSelect, label="Under which consent", initial=NEW)

    def __init__(self, tray: Tray, data: Any = None) -> None:
        typed = {name: told for name, told in tray.typed.items() if told}
        super().__init__(data, instance=Consent(child=tray.skill.child), initial=typed)
        self.standing = standing_consents(tray.skill.child, timezone.localdate())
        told = [(str(each.pk), described(each)) for each in self.standing]
        self.fields["which"].choices = [*told, (NEW, "a new consent")]  # type: ignore[attr-defined]
        self.fields["which"].required = bool(self.standing)
        if self.standing and not typed:
            self.fields["which"].initial = ""
        if data is not None and data.get("which", NEW) != NEW:
            for name in self.Meta.fields:
                self.fields[name].required = False

    def clean(self) -> dict[str, Any]:
        if self.chosen is not None:
            return self.cleaned_data
        return super().clean()

    @property
    def chosen(self) -> Consent | None:
        """The consent there is that was chosen; None for a new one."""
        told = getattr(self, "cleaned_data", {}).get("which") or NEW
        return next((each for each in self.standing if str(each.pk) == told), None)

    @property
    def consent(self) -> Consent:
        """What the photos are kept under."""
        chosen = self.chosen
        return chosen if chosen is not None else self.instance


def described(consent: Consent) -> str:
    """A consent in a line."""
    return (
        f"{consent.given_by} ({consent.relation}), {consent.given_on:%-d %B %Y}, "
        f"until {consent.until:%-d %B %Y}: {consent.get_purpose_display()}"
    )


class EditForm(forms.Form):
    """The editor's numbers, in hundredths of the picture; buttons and pointer change the same numbers."""

    left = forms.FloatField(label="From the left")
    top = forms.FloatField(label="From the top")
    side = forms.FloatField(label="Size")
    lighter = forms.IntegerField(
        label="Lighter",
        min_value=0,
        max_value=100,
        widget=forms.NumberInput(attrs={"type": "range", "min": 0, "max": 100, "step": 5}),
    )

    def __init__(self, edit: edits.Edit, data: QueryDict | Mapping[str, str] | None = None) -> None:
        square = {"left": edit.square.left, "top": edit.square.top, "side": edit.square.side}
        shown = {name: round(100 * value, 1) for name, value in square.items()}
        super().__init__(data, initial={**shown, "lighter": edit.lighter})
        self.edit = edit
        self.told: list[str] = []
        for name in square:
            self.fields[name].widget.attrs |= {"step": "any", "inputmode": "decimal"}

    def square_fields(self) -> list[Any]:
        return [self[name] for name in ("left", "top", "side")]

    def cover_rows(self) -> list[dict[str, Any]]:
        """Each cover with its four numbers, as fields of the page."""
        return [
            {"number": place, "boxes": list(zip(NAMES, _hundredths(box), strict=True))}
            for place, box in enumerate(self.edit.covers)
        ]

    def edited(self) -> edits.Edit | None:
        """The edit with what was typed; None and `told` where it cannot be."""
        if not self.is_valid():
            self.told = ["Please give each place and size as a number from 0 to 100."]
            return None
        data = self.cleaned_data
        try:
            edit = replace(
                self.edit,
                square=Crop(data["left"] / 100, data["top"] / 100, data["side"] / 100),
                lighter=data["lighter"],
                covers=as_boxes(self._typed_covers()),
            )
            edit = edits.inside(edit)
            edits.check(edit)
        except Fault as fault:
            self.told = [f"{told.what} {told.mend}" for told in told_all(fault)]
            return None
        return edit

    def _typed_covers(self) -> list[list[Any]]:
        rows = []
        for place in range(edits.MOST_COVERS):
            told = [self.data.get(f"c{place}-{name}") for name, _ in NAMES]
            if any(value is not None for value in told):
                rows.append([_share(value) for value in told])
        return rows


NAMES = (("left", "From the left"), ("top", "From the top"), ("width", "Wide"), ("height", "High"))


def _hundredths(box: Any) -> list[float]:
    return [round(100 * value, 1) for value in (box.left, box.top, box.width, box.height)]


def _share(value: Any) -> Any:
    try:
        return float(value) / 100
    except (TypeError, ValueError):
        return value


class TapsForm(forms.Form):
    """For each place the second of the clip that shows it; a place left empty gets no picture."""

    def __init__(self, tray: Tray, version: SkillVersion, data: Any = None) -> None:
        super().__init__(data)
        for number, (key, label) in enumerate(places.choices(version)):
            self.fields[f"t{number}"] = forms.FloatField(
                required=False,
                min_value=0,
                initial=tray.taps.get(key),
                label=label,
                widget=forms.NumberInput(attrs={"step": "any", "inputmode": "decimal", "data-tap": key}),
            )
        self.keys = [key for key, _ in places.choices(version)]

    def clean(self) -> dict[str, Any]:
        data = super().clean() or {}
        if not self.errors and not self.taps:
            raise forms.ValidationError("Tap, or type the second, for one step at least.")
        return data

    @property
    def taps(self) -> dict[str, float]:
        told = {key: self.cleaned_data.get(f"t{number}") for number, key in enumerate(self.keys)}
        return {key: second for key, second in told.items() if second is not None}
