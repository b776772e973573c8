"""What today's advice rests on: what was written down, what was set and told, and the doubt allowed for."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

from bylittle.core.advice.plan import MOST_NEW, teaching
from bylittle.core.advice.words import Goal
from bylittle.core.learning.prior import SHIPPED
from bylittle.core.practice.marks import Source, Status
from bylittle.library.wording import percent, told_day, told_list
from bylittle.web.reviews.advice import flags_of, setting_of
from bylittle.web.reviews.pictures import Evidence
from bylittle.web.skills.queries import latest_version
from bylittle.workflows.advise_log import AdviceSetting, AdvisedLog

FROM_WHERE = {
    Source.HOME: "at home",
    Source.PAPER: "on paper from home",
    Source.VISIT: "at visits",
    Source.PROBE: "in probes",
    Source.BASELINE: "in the baseline",
}
Row = tuple[str, str]


def rests_on(evidence: Evidence, found: AdvisedLog) -> list[Row]:
    """Name and text of each thing, in the order in which a therapist would ask for it."""
    skill = evidence.skill
    setting = setting_of(skill, latest_version(skill), evidence.plan, flags_of(skill))
    rows = [
        ("Written down", _written(evidence, found)),
        ("The plan", _plan(evidence, setting)),
        ("Just right", f"{_band(setting)} chance of success with the help offered; you set it in the plan"),
        ("Mastery call", _called(setting)),
        ("Told by you", _told(setting)),
        ("Starting expectation", _prior(setting)),
        ("Doubt about marks", _doubt(setting)),
    ]
    if changed := _changed(evidence):
        rows.append(("Steps changed", changed))
    if found.passed_over:
        left = _count(found.passed_over, "mark")
        rows.append(("Left out", f"{left} of steps that are no longer in the chain"))
    return rows


def _written(evidence: Evidence, found: AdvisedLog) -> str:
    entries, top = evidence.log.entries(), evidence.ladder.top
    if not entries:
        return "nothing yet"
    done = Counter(entry.source for entry in entries if entry.reach(top).status is Status.DONE)
    where = [f"{n} {words}" for source, words in FROM_WHERE.items() if (n := done.get(source))]
    stops = sum(entry.reach(top).status is Status.REFUSED for entry in entries)
    told = f"{_count(found.marks, 'mark')} on {_count(found.practice_days, 'day')} ({told_list(where)}), "
    told += f"last on {told_day(entries[-1].day)}"
    return told + (f"; {_count(stops, 'stop')}, which say nothing about skill" if stops else "")


def _plan(evidence: Evidence, setting: AdviceSetting) -> str:
    most = setting.max_new_steps or MOST_NEW[Goal(setting.chaining.value)]
    order = f"{setting.chaining.value}, at most {_count(most, 'new step')} at once ({_new(setting)})"
    if evidence.plan is None:
        return f"none signed yet; {order}"
    since = f" since {told_day(setting.plan_since)}" if setting.plan_since else ""
    return f"plan {evidence.plan.number}{since}: {order}; material: {setting.grade or 'as usual'}"


def _new(setting: AdviceSetting) -> str:
    bar = percent(teaching(setting.chaining.value).new_below)
    days = "" if Goal(setting.chaining.value) is Goal.WHOLE else ", on two days"
    return f"new until alone in {bar} of turns{days}"


def _band(setting: AdviceSetting) -> str:
    low, high = setting.band
    return f"{percent(low)} to {percent(high)}"


def _called(setting: AdviceSetting) -> str:
    chance, sure, days = setting.mastery
    bar = f"{percent(chance)} alone, {percent(sure)} sure, seen on {_count(days, 'day')} or more"
    return f"{bar}; the word mastered also needs your probe"


def _told(setting: AdviceSetting) -> str:
    return told_list(list(_facts(setting))) or "nothing that changes the advice"


def _facts(setting: AdviceSetting) -> Iterator[str]:
    if setting.red_flags:
        yield f"{_count(len(setting.red_flags), 'safety question')} answered yes and open"
    if setting.doing_breaks_down:
        yield "it is the doing that breaks down"
    if setting.easier_material:
        yield "an easier material is used than in daily life"
    if setting.adults_differ:
        yield "the adults help in different ways"
    if setting.low_fidelity:
        yield f"{setting.low_fidelity.adult} was seen to help otherwise than planned"


def _prior(setting: AdviceSetting) -> str:
    if setting.prior is None:
        return "the expectations that come with Bylittle, from simulated children"
    return "your service's own expectations, fitted on its children"


def _doubt(setting: AdviceSetting) -> str:
    prior = setting.prior or SHIPPED
    shares = (prior.home_noise, prior.visit_noise, prior.probe_noise)
    home, visit, probe = (percent(share) for share in shares)
    return f"a mark may be one level off: at home about {home} of them, at visits {visit}, in probes {probe}"


def _changed(evidence: Evidence) -> str:
    """Which steps took over what was known of others."""
    versions = list(evidence.skill.versions.all())
    names = {row.step_id: row.name for version in versions for row in version.steps.all()}
    changes = [change for version in versions for change in version.origins.items()]
    told = [(names.get(new, new), [f"“{names.get(each, each)}”" for each in old]) for new, old in changes]
    return "; ".join(f"“{new}” took over what was known of {told_list(old)}" for new, old in told)


def _count(n: int, what: str) -> str:
    return f"{n} {what}" if n == 1 else f"{n} {what}s"
