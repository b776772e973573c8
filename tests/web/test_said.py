"""What each adult says beside the agreed words: told word by word, suggested, never changed by itself."""

from __future__ import annotations

import pytest
from django.test import Client
from django.urls import reverse

from bylittle.web.skills import services as skills
from bylittle.web.skills import spoken, translations
from bylittle.web.skills.models import Skill, SpokenWords
from bylittle.web.skills.queries import latest_version
from tests import cast as people
from tests.cast import TODAY, Cast


def steps(cast: Cast) -> list[str]:
    return [row.step_id for row in spoken.taught(latest_version(cast.skill))]


def tell(cast: Cast, adult: str, words: str, language: str = "en", at: int = 0) -> SpokenWords:
    return people.said(cast, adult, words, language, at)


def page(client: Client, cast: Cast) -> str:
    return client.get(reverse("said", args=[cast.skill.pk])).content.decode()


def write(client: Client, cast: Cast, **told: str) -> str:
    url = reverse("said_write", args=[cast.skill.pk])
    return client.post(url, {"language": "en", **told}, follow=True).content.decode()


def cue(cast: Cast, at: int = 0) -> str:
    return spoken.taught(latest_version(cast.skill))[at].cue


def test_whoever_practises_and_the_team_can_be_asked(cast: Cast, as_therapist: Client) -> None:
    told = page(as_therapist, cast)
    assert all(f"What {name} says" in told for name in ("Mum", "Dad", "Jonah"))
    assert "Nobody yet" in told


def test_only_what_differs_is_typed_and_the_rest_is_the_agreed_words(
    cast: Cast, as_therapist: Client
) -> None:
    first, second = steps(cast)[:2]
    told = write(as_therapist, cast, adult="Mum", same="on", **{f"said_{first}": "Off we  go"})
    kept = SpokenWords.objects.get()
    assert (kept.adult, kept.on, kept.by, kept.at_visit) == ("Mum", TODAY, cast.therapist, False)
    assert kept.words[first] == "Off we go"
    assert kept.words[second] == cue(cast, 1)
    assert "What Mum says stands beside the agreed words" in told
    assert f"Mum says “Off we go”; agreed is “{cue(cast)}”" in told


def test_an_empty_field_says_nothing_of_that_step(cast: Cast, as_therapist: Client) -> None:
    first = steps(cast)[0]
    write(as_therapist, cast, adult="Mum", at_visit="on", **{f"said_{first}": "Go"})
    kept = SpokenWords.objects.get()
    assert kept.words == {first: "Go"}
    assert kept.at_visit


@pytest.mark.parametrize("told", [{"adult": "Mum"}, {"adult": " ", "same": "on"}])
def test_nothing_told_is_not_kept_and_is_said(told: dict[str, str], cast: Cast, as_therapist: Client) -> None:
    shown = write(as_therapist, cast, **told)
    assert "Nothing was kept" in shown or "This field is required" in shown
    assert not SpokenWords.objects.exists()


def test_two_adults_who_differ_are_told_with_a_suggestion_and_nothing_is_changed(
    cast: Cast, as_therapist: Client
) -> None:
    before = cue(cast)
    tell(cast, "Mum", "Heave")
    tell(cast, "Dad", "Off we go")
    told = page(as_therapist, cast)
    assert "Different adults, different words: Mum says “Heave”; Dad says “Off we go”. Agree on one." in told
    assert "The adults say different words" in told
    assert cue(cast) == before
    assert not Skill.objects.get(pk=cast.skill.pk).adults_differ


def test_what_an_adult_says_anew_stands_and_the_earlier_stays(cast: Cast) -> None:
    tell(cast, "Mum", "Heave")
    last = tell(cast, "mum", cue(cast))
    assert spoken.of_adult(cast.skill, "Mum") == last
    assert spoken.said_of(cast.skill).hinted == 0
    assert SpokenWords.objects.count() == 2


def test_agreeing_makes_the_words_the_steps_own_and_a_signed_plan_keeps_its_words(
    cast: Cast, as_therapist: Client
) -> None:
    plan = people.signed_plan(cast)
    tell(cast, "Mum", "Heave ho")
    before = plan.version.number
    chosen = {"step": steps(cast)[0], "language": "en", "words": "Heave ho"}
    told = as_therapist.post(reverse("said_agree", args=[cast.skill.pk]), chosen, follow=True)
    assert "keep the old words until the next plan is signed" in told.content.decode()
    assert cue(cast) == "Heave ho"
    assert latest_version(cast.skill).number == before + 1
    plan.version.refresh_from_db()
    assert plan.version.steps.get(step_id=steps(cast)[0]).cue != "Heave ho"


def test_agreeing_in_another_language_leaves_the_english_words(cast: Cast, as_therapist: Client) -> None:
    tell(cast, "Abuela", "Ábrela ya", "es")
    before, spanish = cue(cast), spoken.agreed_cue(spoken.taught(latest_version(cast.skill))[0], "es")
    assert spanish != "Ábrela ya"
    chosen = {"step": steps(cast)[0], "language": "es", "words": "Ábrela ya"}
    as_therapist.post(reverse("said_agree", args=[cast.skill.pk]), chosen)
    row = spoken.taught(latest_version(cast.skill))[0]
    assert (row.cue, spoken.agreed_cue(row, "es")) == (before, "Ábrela ya")
    assert row.translations["es"]["name"]


def test_agreeing_in_english_keeps_the_words_of_the_other_language(cast: Cast, as_therapist: Client) -> None:
    tell(cast, "Mum", "Heave ho")
    chosen = {"step": steps(cast)[0], "language": "en", "words": "Heave ho"}
    as_therapist.post(reverse("said_agree", args=[cast.skill.pk]), chosen)
    assert spoken.agreed_cue(spoken.taught(latest_version(cast.skill))[0], "es")


def test_only_words_that_somebody_says_can_be_agreed_on(cast: Cast, as_therapist: Client) -> None:
    before = cue(cast)
    chosen = {"step": steps(cast)[0], "language": "en", "words": "Anything"}
    url = reverse("said_agree", args=[cast.skill.pk])
    assert as_therapist.post(url, chosen).status_code == 404
    assert cue(cast) == before


def test_two_languages_are_no_difference_between_adults(cast: Cast, as_therapist: Client) -> None:
    tell(cast, "Mum", cue(cast))
    row = spoken.taught(latest_version(cast.skill))[0]
    tell(cast, "Abuela", spoken.agreed_cue(row, "es"), "es")
    tell(cast, "Oma", "Mach auf", "xx")
    found = spoken.said_of(cast.skill)
    assert not found.differ
    assert found.steps[0].hints == ("Oma says “Mach auf”. No words are agreed in that language yet.",)
    assert found.steps[0].offers == ()
    assert "More than one language is spoken" in page(as_therapist, cast)


def test_a_word_of_another_language_is_told(cast: Cast) -> None:
    tell(cast, "Dad", "Abre ya")
    told = spoken.said_of(cast.skill).steps[0].hints
    assert "Dad begins with “abre”, which reads like another language." in told


def test_a_word_that_two_languages_spell_alike_is_not(cast: Cast) -> None:
    tell(cast, "Dad", "Come on, lad")
    told = spoken.said_of(cast.skill).steps[0].hints
    assert told
    assert not any("another language" in hint for hint in told)


def test_a_step_of_the_adult_is_not_asked_about(cast: Cast) -> None:
    version = latest_version(cast.skill)
    version.steps.filter(position=0).update(adult_only=True)
    assert len(steps(cast)) == version.steps.count() - 1
    tell(cast, "Mum", "Same")
    tell(cast, "Mum", "Same", at=1)
    spoken.keep(
        cast.skill, "Mum", "en", dict.fromkeys(steps(cast)[:2], "Same"),
        at_visit=False, by=cast.therapist, today=TODAY,
    )  # fmt: skip
    assert any("says the same words at step 2" in hint for hint in spoken.said_of(cast.skill).steps[1].hints)


def test_the_note_that_the_adults_differ_is_made_and_taken_back_by_a_person(
    cast: Cast, as_therapist: Client
) -> None:
    tell(cast, "Mum", "Heave")
    tell(cast, "Dad", "Up")
    url = reverse("said_note", args=[cast.skill.pk])
    as_therapist.post(url, {"differ": "yes"})
    assert Skill.objects.get(pk=cast.skill.pk).adults_differ
    assert "Take back the note" in page(as_therapist, cast)
    as_therapist.post(url, {"differ": "no"})
    assert not Skill.objects.get(pk=cast.skill.pk).adults_differ


def test_what_is_heard_at_a_visit_stands_beside_what_was_told_before(
    cast: Cast, as_therapist: Client
) -> None:
    plan = people.signed_plan(cast)
    asked = plan.steps.get(asked=True).step_id
    tell(cast, "Mum", "Heave")
    checked = {"on": TODAY.isoformat(), "adult": "M", "cue-words": "not", f"heard_{asked}": "Come on now"}
    as_therapist.post(reverse("coaching", args=[cast.skill.pk]), checked)
    stands = spoken.of_adult(cast.skill, "Mum")
    assert stands.words == {steps(cast)[0]: "Heave", asked: "Come on now"}
    assert stands.at_visit
    assert cast.skill.fidelity_checks.count() == 1


def test_a_visit_at_which_no_words_were_noted_keeps_none(cast: Cast, as_therapist: Client) -> None:
    people.signed_plan(cast)
    checked = {"on": TODAY.isoformat(), "adult": "M", "cue-words": "done"}
    as_therapist.post(reverse("coaching", args=[cast.skill.pk]), checked)
    assert not SpokenWords.objects.exists()
    assert cast.skill.fidelity_checks.count() == 1


def test_the_steps_page_tells_it_beside_the_step(cast: Cast, as_therapist: Client) -> None:
    tell(cast, "Mum", "Heave")
    told = as_therapist.get(reverse("skill_steps", args=[cast.skill.pk])).content.decode()
    assert "Mum says “Heave”" in told


def test_the_words_of_one_child_stay_with_that_child(cast: Cast, as_therapist: Client) -> None:
    other = skills.start_blank(cast.child, "Hat on")
    tell(cast, "Mum", "Heave")
    assert spoken.said_of(other).adults == ()
    assert translations.TRANSLATED == ("es",)
