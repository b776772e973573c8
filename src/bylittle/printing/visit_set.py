"""All pages of a visit in one PDF: home plan, picture strip, cue cards, log sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from bylittle.core.faults import BadValue
from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.sheet.plan import SheetPlan
from bylittle.core.sheet.shape import PAPERS
from bylittle.library.wording import family
from bylittle.library.wording.family import tell
from bylittle.printing.cue_card import cue_card_data
from bylittle.printing.family_words import Words
from bylittle.printing.home_plan import home_plan_data
from bylittle.printing.log_sheet import Tongue, print_log_sheet
from bylittle.printing.page_fit import set_or_explain
from bylittle.printing.picture_strip import StripSetting, picture_strip_data
from bylittle.printing.pictures import StepPicture
from bylittle.printing.press import Press
from bylittle.printing.setting import PageSetting

TEMPLATE, TEMPLATE_WITH_SHEET = "visit_set.typ", "visit_set_with_sheet.typ"
Page = Literal["home plan", "picture strip", "cue card"]
PAGES: tuple[Page, ...] = ("home plan", "picture strip", "cue card")


@dataclass(frozen=True, slots=True)
class SheetOrder:
    """The log sheet to print with the set: what stands on it, in which language and which second one."""

    plan: SheetPlan
    first: Tongue
    second: Tongue | None = None


def visit_set_pdf(
    plan: HomePlan,
    setting: PageSetting,
    press: Press,
    *,
    pages: Sequence[Page] = PAGES,
    sheet: SheetOrder | None = None,
    pictures: Mapping[str, StepPicture] | None = None,
    also: HomePlan | None = None,
    strip: StripSetting | None = None,
) -> bytes:
    """The pages in the order given, then the log sheet if one is ordered, as one tagged PDF.

    Raises what the single pages raise; BadValue for a page there is not, or a log sheet of a draft.
    """
    _check(pages, sheet, setting)
    made: dict[str, Words] = {}
    if "home plan" in pages:
        made["home plan"] = home_plan_data(plan, setting, pictures=pictures, also=also)
    if "picture strip" in pages:
        made["picture strip"] = picture_strip_data(plan, setting, strip=strip, pictures=pictures, also=also)
    if "cue card" in pages:
        made["cue card"] = cue_card_data(plan, setting, pictures=pictures, also=also)
    child = family.child_name(plan.child, setting.language)
    data = {
        **(_sheet_data(sheet, setting) if sheet else {}),
        "title": tell("head.set", setting.language, child=child, skill=plan.skill_name),
        "lang": setting.language,
        "pictures": {key: svg for part in made.values() for key, svg in part.pop("pictures").items()},
        "parts": [{"kind": page, "data": made[page]} for page in pages],
    }
    return set_or_explain(press, TEMPLATE_WITH_SHEET if sheet else TEMPLATE, data, plan, setting)


def _check(pages: Sequence[str], sheet: SheetOrder | None, setting: PageSetting) -> None:
    unknown = [page for page in pages if page not in PAGES]
    if unknown or not pages:
        raise BadValue("page_kind", name="pages", value=unknown, allowed=PAGES)
    if sheet and not setting.signed:
        raise BadValue("draft_has_no_log_sheet", name="sheet", value=sheet.plan.version, allowed="signed")


class _Proof(Press):
    """A press that keeps what it is given: the log sheet's data, to be set among other pages."""

    def __init__(self) -> None:
        self.data: dict[str, Any] = {}

    def print(self, template: str, data: Mapping[str, Any]) -> bytes:
        self.data = dict(data)
        return b""


def _sheet_data(sheet: SheetOrder, setting: PageSetting) -> dict[str, Any]:
    proof = _Proof()
    print_log_sheet(sheet.plan, PAPERS[setting.paper], proof, sheet.first, sheet.second)
    return proof.data
