"""Every worked example of the literature at its own tolerance: tests/reference/effect_sizes."""

from __future__ import annotations

import csv
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bylittle.core.faults import Undefined
from bylittle.core.stats import (
    between_case,
    conservative_dual,
    overlap,
    randomization,
    ratios,
    separation,
    trend,
)
from bylittle.core.stats.values import Estimate

REFERENCE = Path(__file__).parents[2] / "reference"
EXAMPLES = json.loads((REFERENCE / "effect_sizes" / "effect_sizes.json").read_text("utf-8"))["examples"]
LIMITS = ("CI_lower", "CI_upper")
LIMIT_TOLERANCE = 1e-4

Example = dict[str, Any]


def told(found: Estimate) -> dict[str, Any]:
    return {
        "Est": found.estimate,
        "SE": found.se,
        "SE_unbiased": found.se,
        "CI_lower": found.low,
        "CI_upper": found.high,
    }


def phases(example: Example) -> tuple[list[float], list[float], str]:
    return example["phase_A"], example["phase_B"], example["direction"]


def cases(example: Example) -> list[tuple[list[float], list[float]]]:
    return [(case["phase_A"], case["phase_B"]) for case in example["cases"]]


def of_nap(example: Example) -> dict[str, Any]:
    errors = overlap.nap_errors(*phases(example))
    return told(overlap.nap(*phases(example))) | {"SE_hanley": errors.hanley, "SE_null": errors.null}


def of_tau_bc(example: Example) -> dict[str, Any]:
    a, b, _ = phases(example)
    found = overlap.tau_bc(*phases(example))
    values = told(found) | {"slope": found.slope, "intercept": found.intercept}
    if "baseline_tau_b" in example["expected"]:
        values["baseline_tau_b"] = trend.kendall_tau_b(range(len(a)), a)
        values["uncorrected_tau_b"] = trend.kendall_tau_b([0] * len(a) + [1] * len(b), a + b)
    if example["expected"]["kendall_tau_b"] is None:
        with pytest.raises(Undefined):
            overlap.tau_bc_kendall(*phases(example))
        return values | {"kendall_tau_b": None, "SE_kendall": None}
    kendall = overlap.tau_bc_kendall(*phases(example))
    return values | {"kendall_tau_b": kendall.estimate, "SE_kendall": kendall.se}


def of_smd(sd: str) -> Callable[[Example], dict[str, Any]]:
    def values(example: Example) -> dict[str, Any]:
        if example["expected"]["Est"] is None:
            with pytest.raises(Undefined):
                ratios.smd(*phases(example), sd=sd)
            return dict.fromkeys(example["expected"])
        return told(ratios.smd(*phases(example), sd=sd))

    return values


def of_lrr(kind: str) -> Callable[[Example], dict[str, Any]]:
    return lambda example: told(ratios.lrr(*phases(example), kind=kind, scale=example["params"]["scale"]))


def of_goal(example: Example) -> dict[str, Any]:
    return told(ratios.percent_of_goal(example["phase_A"], example["phase_B"], example["params"]["goal"]))


def of_sorting(example: Example) -> dict[str, Any]:
    found = separation.pand_by_sorting(cases(example), example["direction"])
    return {
        "PAND": found.pand,
        "phi": found.phi,
        "counts": [list(row) for row in found.counts],
        "fewest_removals_PAND_pooled": separation.pand_of_study(cases(example), example["direction"]),
    }


def of_criterion(example: Example) -> dict[str, Any]:
    found = conservative_dual.criterion(*phases(example), c=example["params"]["c"])
    return {"n_beyond": found.beyond, "p_binomial": found.p}


def of_theil_sen(example: Example) -> dict[str, Any]:
    a = example["phase_A"]
    x = range(1, len(a) + 1)
    line = trend.theil_sen(x, a)
    separate = trend.theil_sen_separate(x, a).intercept
    return {"slope": line.slope, "intercept_joint": line.intercept, "intercept_separate": separate}


def of_split_middle(example: Example) -> dict[str, Any]:
    a = example["phase_A"]
    return trend.split_middle(a)._asdict() | trend.half_medians(a)._asdict()


def of_start_point(example: Example) -> dict[str, Any]:
    params = example["params"]
    middle = params["statistic"].split("(")[0]
    assert params["across_cases"].startswith(middle)
    found = randomization.start_point(
        cases(example),
        example["direction"],
        statistic=middle,
        across=middle,
        least_a=params["min_points_A"],
        least_b=params["min_points_B"],
    )
    return {
        "observed": found.observed,
        "n": found.n,
        "mean": found.mean,
        "sd": found.sd,
        "min": found.smallest,
        "max": found.largest,
        "p": found.p,
    }


def of_between_case(example: Example) -> dict[str, Any]:
    with (REFERENCE / "single_case" / example["data"]["csv"]).open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["measure"] == example["data"]["measure"]]
    long = {
        "case": [row["case"] for row in rows],
        "session": [float(row["session"]) for row in rows],
        "treated": [row["condition"] != "A" for row in rows],
        "outcome": [float(row["outcome"]) for row in rows],
    }
    if example["measure"] == "BC_SMD_MB":
        found = between_case.multiple_baseline(**long)
    else:
        found = between_case.reversal(pair=[row["phase_pair"] for row in rows], **long)
    return {
        "n_obs": len(rows),
        "K": found.points,
        "M_dot": found.points,
        "D_bar": found.difference,
        "S_sq": found.variance,
        "delta_unadjusted": found.unadjusted,
        "phi": found.autocorrelation,
        "sigma_sq_w": found.within,
        "rho": found.correlation,
        "theta": found.theta,
        "nu": found.df,
        "delta": found.estimate,
        "V_delta": None if found.se is None else found.se**2,
    }


MEASURES: dict[str, Callable[[Example], dict[str, Any]]] = {
    "NAP": of_nap,
    "Tau": lambda example: told(overlap.tau(*phases(example))),
    "TauU_A": lambda example: told(overlap.tau_u(*phases(example))),
    "TauU_B": lambda example: told(overlap.tau_u_all_pairs(*phases(example), baseline_trend=False)),
    "TauU_full": lambda example: told(overlap.tau_u_all_pairs(*phases(example))),
    "TauBC": of_tau_bc,
    "PND": lambda example: told(overlap.pnd(*phases(example))),
    "PEM": lambda example: told(overlap.pem(*phases(example))),
    "PAND": lambda example: told(overlap.pand(*phases(example))),
    "PAND_sort": of_sorting,
    "IRD": lambda example: told(overlap.ird(*phases(example))),
    "SMD_baseline": of_smd("baseline"),
    "SMD_pooled": of_smd("pooled"),
    "LRRi": of_lrr("increasing"),
    "LRRd": of_lrr("decreasing"),
    "PoGO": of_goal,
    "CDC": of_criterion,
    "theil_sen": of_theil_sen,
    "split_middle": of_split_middle,
    "randomization_start": of_start_point,
    "BC_SMD_MB": of_between_case,
    "BC_SMD_ABk": of_between_case,
}


def test_no_example_was_lost() -> None:
    assert len(EXAMPLES) == 435
    assert {example["measure"] for example in EXAMPLES} == set(MEASURES)


@pytest.mark.parametrize("example", EXAMPLES, ids=lambda example: example["id"])
def test_example(example: Example) -> None:
    found = MEASURES[example["measure"]](example)
    for key, expected in example["expected"].items():
        if expected is None or isinstance(expected, list):
            assert found[key] == expected, key
        else:
            tolerance = LIMIT_TOLERANCE if key in LIMITS else example["tolerance"]
            assert abs(found[key] - expected) <= tolerance * max(1.0, abs(expected)), key
