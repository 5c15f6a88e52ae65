"""Lower bounds from coupon tests: one-sided tolerance factors and 5 % fractiles.

Strengths are taken as log-normal: they can't be negative and their scatter is relative.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from printplan.errors import OutOfRangeError

__all__ = ["CouponBound", "lower_bound", "lower_bound_of_runs", "tolerance_factor"]


@dataclass(frozen=True, kw_only=True)
class CouponBound:
    """What a set of coupons says about the strength.

    Attributes
    ----------
    lower_mpa : float
        The fractile at the confidence asked for. [MPa]
    typical_mpa : float
        Median of the coupons, or of the run means. [MPa]
    log_deviation : float
        Standard deviation of the logarithm, about the coefficient of variation. [-]
    factor : float
        Tolerance factor k: ``lower = exp(mean of logs − k × log_deviation)``. [-]
    count : int
        Number of coupons, or of runs.
    fractile, confidence : float
        What was asked for. [-]
    """

    lower_mpa: float
    typical_mpa: float
    log_deviation: float
    factor: float
    count: int
    fractile: float
    confidence: float


def tolerance_factor(count: int, *, fractile: float = 0.05, confidence: float = 0.75) -> float:
    """One-sided tolerance factor of a normal sample with unknown scatter.

    ``k = t'(confidence; n − 1, δ) / √n`` with the noncentral t quantile and ``δ = z √n``, z the
    normal quantile of ``1 − fractile``: with the given confidence no more than `fractile` of the
    population lies below ``mean − k s``.

    Parameters
    ----------
    count : int
        Sample size n. [-]
    fractile, confidence : float
        Share of the population below, and how sure of it. [-]

    Raises
    ------
    OutOfRangeError
        If the count is below 2, or a fraction is outside its range.

    Sources
    -------
    [memory: ISO 16269-6, one-sided intervals with unknown variance]
    """
    from scipy.stats import nct, norm

    if count < 2:
        raise OutOfRangeError("count", count, "at least 2 samples")
    if not 0.0 < fractile < 0.5:
        raise OutOfRangeError("fractile", fractile, "a fraction between 0 and 0.5")
    if not 0.0 < confidence < 1.0:
        raise OutOfRangeError("confidence", confidence, "a fraction between 0 and 1")
    root = math.sqrt(count)
    shift = float(norm.ppf(1.0 - fractile)) * root
    return float(nct.ppf(confidence, count - 1, shift)) / root


def lower_bound(
    strengths_mpa: Sequence[float], *, fractile: float = 0.05, confidence: float = 0.75
) -> CouponBound:
    """Lower bound of one's own coupons: one spool, one printer, one recipe.

    Parameters
    ----------
    strengths_mpa : sequence of float
        Strength of each coupon, at least three. [MPa]
    fractile, confidence : float
        As for `tolerance_factor`. [-]

    Returns
    -------
    CouponBound
        Holds for that spool on that printer only.

    Raises
    ------
    OutOfRangeError
        If there are fewer than three coupons or one is not positive and finite.
    """
    logs = _logs(strengths_mpa)
    factor = tolerance_factor(len(logs), fractile=fractile, confidence=confidence)
    deviation = float(logs.std(ddof=1))
    return CouponBound(
        lower_mpa=math.exp(float(logs.mean()) - factor * deviation),
        typical_mpa=float(np.median(np.exp(logs))),
        log_deviation=deviation,
        factor=factor,
        count=len(logs),
        fractile=fractile,
        confidence=confidence,
    )


def lower_bound_of_runs(
    runs_mpa: Sequence[Sequence[float]], *, fractile: float = 0.05, confidence: float = 0.5
) -> CouponBound:
    """Lower bound of a grade: a coupon of any spool on any machine.

    A run is one set of coupons of one spool from one machine. Every run counts the same. The
    scatter is the variance between the run means of the logarithms plus the pooled variance
    inside the runs, and the tolerance factor is that of the number of runs.

    Parameters
    ----------
    runs_mpa : sequence of sequences of float
        Strengths of each run, at least three runs of at least three coupons. [MPa]
    fractile : float
        Share of coupons below. [-]
    confidence : float
        0.5 gives the best estimate of the fractile; the runs are no random sample of the world's
        printers, so a higher confidence would promise what the data can't hold. [-]

    Raises
    ------
    OutOfRangeError
        If there are fewer than three runs or a run is too short.

    Sources
    -------
    derived  one-way random effects with equal weight of the runs
    """
    if len(runs_mpa) < 3:
        raise OutOfRangeError("runs_mpa", len(runs_mpa), "at least 3 runs")
    logs = [_logs(run) for run in runs_mpa]
    means = np.array([run.mean() for run in logs])
    freedom = sum(len(run) - 1 for run in logs)
    inside = sum(float(((run - run.mean()) ** 2).sum()) for run in logs) / freedom
    deviation = math.sqrt(float(means.var(ddof=1)) + inside)
    factor = tolerance_factor(len(logs), fractile=fractile, confidence=confidence)
    return CouponBound(
        lower_mpa=math.exp(float(means.mean()) - factor * deviation),
        typical_mpa=float(np.median([float(np.mean(run)) for run in runs_mpa])),
        log_deviation=deviation,
        factor=factor,
        count=len(logs),
        fractile=fractile,
        confidence=confidence,
    )


def _logs(strengths_mpa: Sequence[float]) -> NDArray[np.float64]:
    values = np.asarray(strengths_mpa, dtype=np.float64)
    if values.ndim != 1 or len(values) < 3:
        raise OutOfRangeError("strengths_mpa", values.size, "a list of at least 3 coupons")
    if not (np.isfinite(values).all() and (values > 0.0).all()):
        worst = float(values[~(np.isfinite(values) & (values > 0.0))][0])
        raise OutOfRangeError("strengths_mpa", worst, "positive, finite strengths in MPa")
    return np.log(values)
