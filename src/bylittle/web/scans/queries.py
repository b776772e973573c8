"""Reading scans: whose they are, what stands on them, what a second photograph adds."""

from __future__ import annotations

from django.db.models import Q, QuerySet
from django.http import Http404, HttpRequest

from bylittle.core.plan.home_plan import HomePlan
from bylittle.core.practice.log import Entry
from bylittle.core.sheet import settle
from bylittle.core.sheet.identity import SheetId
from bylittle.core.sheet.ink import Ink, PageInk
from bylittle.web.people.access import children_of, person
from bylittle.web.people.models import Person
from bylittle.web.plans.models import Plan
from bylittle.web.plans.pages import sheet_plan
from bylittle.web.plans.queries import as_home_plan, plan_rows
from bylittle.web.scans import free_word
from bylittle.web.scans.models import Scan, ScanState
from bylittle.workflows.read_sheet import Answers, entries_of, first_day, page_of


def scans_of(who: Person) -> QuerySet[Scan]:
    """Her children's sheets, and what she sent herself that belongs to no plan."""
    mine = Q(plan__skill__child__in=children_of(who)) | Q(plan=None, by=who)
    return Scan.objects.filter(mine).select_related("plan__skill__child", "by", "accepted_by").distinct()


def scan_or_404(request: HttpRequest, scan_id: int) -> Scan:
    """The scan, for one of its child's team (or its sender); for a stranger it does not exist."""
    found = scans_of(person(request)).filter(pk=scan_id).first()
    if found is None:
        raise Http404
    return found


def plan_of(sheet: SheetId, who: Person) -> Plan | None:
    """The signed plan version that a sheet was printed for, among her children's.

    None too where the sheet has another layout than that plan (another ladder, other steps), or where two
    plans would fit: whose it is must then be said by a person.
    """
    rows = plan_rows().filter(skill__child__in=children_of(who), number=sheet.version)
    fits = [
        plan
        for plan in rows.filter(signed_at__isnull=False)
        if settle.fit(sheet, plan.code, plan.number) is settle.Fit.THIS_PLAN and same_layout(sheet, plan)
    ]
    return fits[0] if len(fits) == 1 else None


def same_layout(sheet: SheetId, plan: Plan) -> bool:
    """True where the sheet's rows mean what the plan asks: as many steps, levels and adults."""
    home, shape = as_home_plan(plan), sheet.shape
    adults = len(printed_adults(plan))
    return (len(home.asked), len(home.ladder), adults) == (shape.steps, shape.levels, shape.adults)


def written_on(scan: Scan) -> bool:
    """True where something seems to be written in the room for a free word; a person says what."""
    state, _ = scan.ink.get(free_word.NAME, (Ink.BLANK.value, 0.0))
    return bool(state != Ink.BLANK.value)


def newest_number(plan: Plan) -> int:
    """The number of the plan that is in force now."""
    signed = plan.skill.plans.filter(signed_at__isnull=False).order_by("-number").first()
    return signed.number if signed else plan.number


def page(scan: Scan) -> PageInk:
    """The ink as it was read."""
    return page_of(scan.sheet, {name: (state, ink) for name, (state, ink) in scan.ink.items()})


def answers(scan: Scan) -> Answers:
    """What was settled so far."""
    return Answers(scan.rows, scan.start, {int(day): name for day, name in scan.adults.items()})


def printed_adults(plan: Plan) -> tuple[str, ...]:
    """The adults' initials as they stand on the plan's sheets."""
    return sheet_plan(as_home_plan(plan)).adults


def printed_on(scan: Scan) -> tuple[str, ...]:
    """The adults' initials as they stand on this sheet, wherever it is filed."""
    return tuple(scan.initials)


def entries(scan: Scan) -> dict[str, Entry]:
    """What the sheet says now, by row; who is open is nobody. The first day and the plan are known."""
    assert scan.plan is not None
    return entries_of(page(scan), printed_on(scan), home(scan.plan), answers(scan))


def home(plan: Plan) -> HomePlan:
    """The plan with the initials that stand on its sheet."""
    return as_home_plan(plan)


def earlier(scan: Scan) -> list[Scan]:
    """Accepted photographs of the same page for the same week, oldest first."""
    same = Scan.objects.filter(sheet=scan.sheet, page=scan.page, plan=scan.plan, state=ScanState.ACCEPTED)
    week = first_day(page(scan), answers(scan))
    others = same.exclude(pk=scan.pk).order_by("pk")
    return [each for each in others if first_day(page(each), answers(each)) == week]
