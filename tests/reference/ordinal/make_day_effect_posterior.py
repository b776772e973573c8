"""Makes day_effect_posterior.json: a general sampler's posterior of a small model with shared day effects.

Run outside this project's environment, with numpyro and jax (processor only) installed:
    python make_day_effect_posterior.py > day_effect_posterior.json
Model: theta_k ~ N(-1, 1.2^2) for two steps; day effect d_t ~ N(0, 0.7^2) for six days, shared by the steps;
P(N >= l) = s(theta_k + d_t + o_l), o = (3.0, 1.8, 0.9, 0.5, 0.0); each mark says lo <= N <= hi.
"""

import json
import sys

import jax
import jax.numpy as jnp
import numpy as np
import numpyro
import numpyro.distributions as dist
from numpyro.infer import MCMC, NUTS

OFFSETS = [3.0, 1.8, 0.9, 0.5, 0.0]
# day, step, lo, hi
MARKS = [
    (0, 0, 3, 5), (0, 1, 0, 4), (0, 0, 0, 3), (0, 1, 2, 5), (1, 0, 4, 5), (1, 1, 1, 3), (1, 0, 3, 3),
    (2, 0, 5, 5), (2, 1, 3, 5), (2, 1, 4, 5), (3, 0, 0, 4), (3, 1, 0, 2), (3, 0, 2, 4), (3, 1, 1, 1),
    (4, 0, 4, 5), (4, 1, 3, 4), (4, 0, 5, 5), (5, 0, 3, 5), (5, 1, 2, 5), (5, 1, 0, 3), (5, 0, 4, 4),
]  # fmt: skip


def model(day, step, lo, hi):
    theta = numpyro.sample("theta", dist.Normal(-1.0, 1.2).expand([2]))
    mood = numpyro.sample("mood", dist.Normal(0.0, 0.7).expand([6]))
    x = (theta[step] + mood[day])[:, None] + jnp.array(OFFSETS)
    tails = jnp.concatenate([jnp.ones((len(day), 1)), jax.nn.sigmoid(x), jnp.zeros((len(day), 1))], axis=1)
    rows = jnp.arange(len(day))
    numpyro.factor("marks", jnp.log(tails[rows, lo] - tails[rows, hi + 1]).sum())


def main():
    columns = [np.array(column) for column in zip(*MARKS, strict=True)]
    sampler = MCMC(
        NUTS(model),
        num_warmup=1000,
        num_samples=10000,
        num_chains=4,
        progress_bar=False,
        chain_method="sequential",
    )
    sampler.run(jax.random.PRNGKey(20261125), *columns)
    theta = np.asarray(sampler.get_samples()["theta"])
    told = {
        "program": f"numpyro {numpyro.__version__}, jax {jax.__version__}, NUTS, 4 x 10000 draws",
        "made": "2026-11-25",
        "offsets": OFFSETS,
        "marks": MARKS,
        "prior_mean": -1.0,
        "prior_sd": 1.2,
        "day_sd": 0.7,
        "mean": theta.mean(axis=0).tolist(),
        "sd": theta.std(axis=0).tolist(),
        "correlation": float(np.corrcoef(theta.T)[0, 1]),
    }
    json.dump(told, sys.stdout, indent=1)


main()
