"""A faulty skill file: every fault is told, together, with file, key and how to mend it."""

from __future__ import annotations

import pytest

from bylittle import library
from bylittle.core.skill import materials
from bylittle.library import pack
from bylittle.library.cuelanguage import reads_like_another
from bylittle.library.datafile import parse
from bylittle.library.faults import MENDS, FileFault
from bylittle.library.skill import SHAPE_SIZES
from bylittle.library.skillfile import read_skill

WHOLE = pack.raw("skills/push-button-through.toml").decode("utf-8")


SIZE = "diameter_mm = 28, length_mm = 4"
CUE = 'cue = {en = "Swap hands", es = "Cambia las manos"}'
DIAMETER = "materials[1].size.diameter_mm"


def faults_of(text: str) -> list[FileFault]:
    found: list[FileFault] = []
    read_skill(parse(text, "mine.toml", found), "mine.toml", library.known(), found)
    return found


def keys_of(text: str) -> dict[str, str]:
    return {fault.values["key"]: fault.code for fault in faults_of(text)}


def test_a_whole_file_has_no_fault() -> None:
    assert faults_of(WHOLE) == []


@pytest.mark.parametrize(
    ("old", "new", "key", "code"),
    [
        ('area = "dressing"\n', "", "area", "missing"),
        ('area = "dressing"', 'area = "sport"', "area", "not_allowed"),
        ("format = 1", "format = 2", "format", "format"),
        ("version = 2", "version = -1", "version", "wrong_kind"),
        ('id = "swap"', 'id = "tip"', "steps[5].id", "duplicate"),
        ('id = "row"', 'id = "own"', "grades[6].id", "duplicate"),
        (CUE, 'cue = {en = "Cambia las manos", es = "Cambia ya"}', "steps[5].cue.en", "wrong_language"),
        (CUE, 'cue = {en = "Swap hands", es = "Swap the hands"}', "steps[5].cue.es", "wrong_language"),
        (CUE, 'cue = {en = "Swap hands"}', "steps[5].cue.es", "missing_language"),
        (CUE, 'cue = "Swap hands"', "steps[5].cue", "missing_language"),
        (SIZE, "diameter_mm = -28, length_mm = 4", DIAMETER, "not_positive"),
        (SIZE, "diameter_mm = 0, length_mm = 4", DIAMETER, "not_positive"),
        (SIZE, "diameter_mm = 28,5, length_mm = 4", DIAMETER, "comma_in_size"),
        (SIZE, 'diameter_mm = "28,5", length_mm = 4', DIAMETER, "comma_in_size"),
        (SIZE, 'diameter_mm = "1.1 in", length_mm = 4', DIAMETER, "inches"),
        (SIZE, "diameter_mm = 1.1 in, length_mm = 4", DIAMETER, "inches"),
        (SIZE, "diameter_in = 1.1, length_mm = 4", "materials[1].size.diameter_in", "inches"),
        (SIZE, "diameter_mm = 1 1/8 in, length_mm = 4", DIAMETER, "inches"),
        (SIZE, "diameter_mm = 7/8 inch, length_mm = 4", DIAMETER, "inches"),
        (SIZE, "diameter_mm = 1.1″, length_mm = 4", DIAMETER, "inches"),
        (SIZE, "diameter_mm = 1,250.5, length_mm = 4", DIAMETER, "comma_in_size"),
        (SIZE, "diameter_mm = −28, length_mm = 4", DIAMETER, "not_positive"),
        (SIZE, "diameter_mm = .5, length_mm = 4", DIAMETER, "wrong_kind"),
        (SIZE, "diameter_mm = 28-30, length_mm = 4", DIAMETER, "wrong_kind"),
        (SIZE, "diameter_mm = 3 ft, length_mm = 4", DIAMETER, "wrong_kind"),
        (SIZE, "diameter = 28,5, length_mm = 4", "materials[1].size.diameter", "comma_in_size"),
        (SIZE, "diameter_mm = 28", "materials[1].size.length_mm", "missing"),
        (SIZE, "diametre_mm = 28, length_mm = 4", DIAMETER, "missing"),
        (SIZE, "diameter = 28, length_mm = 4", "materials[1].size.diameter", "no_unit"),
        (SIZE, "diameter_mm = inf, length_mm = 4", DIAMETER, "not_positive"),
        ("usual = true\n", "", "grades", "usual"),
        ('step = "tip"', 'step = "tipp"', "slips[1].step", "not_allowed"),
        ('hazards = ["small-parts", "choking"]', "hazards = []", "hazards", "empty"),
        ('hazards = ["small-parts", "choking"]', 'hazards = ["lava"]', "hazards", "not_found"),
        ('item = "pinch"', 'item = "pinching"', "readiness[1].item", "not_allowed"),
        ("low_months = 42", "low_months = 90", "ages[1].low_months", "age_order"),
        ('"finger-taps"', '"finger-tips"', "warmups", "not_found"),
        ('hands = "hold and do"', 'hand = "hold and do"', "steps[1].hands", "missing"),
        ('status = "starter, adapt to the child"\n', "", "status", "missing"),
        ('direction = "backward"', 'direction = "sideways"', "chaining.direction", "not_allowed"),
    ],
)
def test_each_fault_names_its_key(old: str, new: str, key: str, code: str) -> None:
    assert old in WHOLE
    assert keys_of(WHOLE.replace(old, new, 1))[key] == code


def test_a_misspelt_key_is_told_and_not_lost() -> None:
    told = keys_of(WHOLE.replace('hands = "hold and do"', 'hand = "hold and do"', 1))
    assert told == {"steps[1].hands": "missing", "steps[1].hand": "unknown_key"}


def test_all_faults_are_told_together() -> None:
    broken = (
        WHOLE.replace('area = "dressing"\n', "")
        .replace('id = "swap"', 'id = "tip"')
        .replace(SIZE, "diameter_mm = 28,5, length_mm = -4")
        .replace('"Swap hands", es = "Cambia las manos"', '"Cambia las manos", es = "Swap the hands"')
    )
    assert keys_of(broken) == {
        "area": "missing",
        "steps[5].id": "duplicate",
        DIAMETER: "comma_in_size",
        "materials[1].size.length_mm": "not_positive",
        "steps[5].cue.en": "wrong_language",
        "steps[5].cue.es": "wrong_language",
        "slips[2].step": "not_allowed",
    }


def test_one_size_may_have_several_faults_and_all_are_told() -> None:
    told = [fault.code for fault in faults_of(WHOLE.replace(SIZE, "diameter_mm = -1,1 in, length_mm = 4"))]
    assert told == ["inches", "comma_in_size", "not_positive"]


def test_a_file_with_every_kind_of_fault_tells_file_key_and_mend_of_each() -> None:
    """Missing field, duplicate step id, cues in the wrong language, a comma, inches, a size below zero."""
    broken = (
        WHOLE.replace('area = "dressing"\n', "")
        .replace('id = "swap"', 'id = "tip"')
        .replace('"Swap hands", es = "Cambia las manos"', '"Cambia las manos", es = "Swap the hands"')
        .replace(SIZE, "diameter_mm = 28,5, length_mm = 1/8 in")
        .replace("size = {hole_mm = 31}", "size = {hole_mm = −31}", 1)
    )
    told = {str(fault).split(": ")[1]: str(fault) for fault in faults_of(broken)}
    mends = {
        "area": "Add it.",
        "steps[5].id": "Give each one an id of its own",
        "steps[5].cue.en": "Write it in English.",
        "steps[5].cue.es": "Write it in Spanish.",
        DIAMETER: "with a point and without quotes, for example 30.5.",
        "materials[1].size.length_mm": "one inch is 25.4 mm.",
        "materials[2].size.hole_mm": "A size is greater than zero.",
        "slips[2].step": "Use one of:",
    }
    assert told.keys() == mends.keys()
    for key, mend in mends.items():
        assert told[key].startswith(f"mine.toml: {key}: ")
        assert mend in told[key]


def test_every_fault_says_file_key_and_mend() -> None:
    (fault,) = faults_of(WHOLE.replace(SIZE, "diameter_mm = -28, length_mm = 4"))
    assert str(fault) == (
        "mine.toml: materials[1].size.diameter_mm: not positive (-28). "
        "A size is greater than zero. Check the number."
    )


def test_a_file_that_is_no_toml_is_one_fault_with_its_line() -> None:
    told = faults_of("format = 1\nname = {en =\n")
    assert [fault.code for fault in told] == ["unreadable"]
    assert "line 2" in told[0].mend


def test_a_cue_in_the_wrong_language_says_which_language_in_words() -> None:
    (fault,) = faults_of(WHOLE.replace(CUE, 'cue = {en = "Swap hands", es = "Swap the hands"}'))
    assert fault.mend == "The Spanish cue reads like another language. Write it in Spanish."


def test_a_verb_that_two_languages_spell_alike_is_no_wrong_language() -> None:
    """“Come” is English for an adult who calls, and Spanish for one who offers a bite."""
    words = library.cue_words().words
    assert not reads_like_another("Come on", "en", words)
    assert not reads_like_another("Come", "es", words)
    assert reads_like_another("Come despacio", "en", words)


def test_two_materials_need_two_ids() -> None:
    twice = WHOLE[WHOLE.index("[[materials]]") :].split("[[")[1]
    assert keys_of(f"{WHOLE}\n[[{twice}")["materials[3].id"] == "duplicate"


def test_a_shape_needs_the_sizes_that_it_is_screened_with() -> None:
    assert dict(materials.SIZES) == SHAPE_SIZES


def test_a_file_that_holds_nothing_is_all_missing() -> None:
    assert {"id", "steps", "name", "chaining"} <= set(keys_of(""))


@pytest.mark.parametrize(
    "junk", ["steps = 3", 'steps = "a"', "steps = [1, 2]", "chaining = 4", "hazards = 1"]
)
def test_the_wrong_kind_of_value_never_breaks_the_reading(junk: str) -> None:
    assert faults_of(f"format = 1\n{junk}\n")


def test_every_mend_is_a_sentence() -> None:
    for words in MENDS.values():
        assert words[0].isupper()
        assert words.rstrip("}").endswith((".", "mm"))
