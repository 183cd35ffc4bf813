"""How sure a thickness is."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from runner.plating import uncertainty

small = st.floats(0, 0.2)


@given(small, small, small, small)
def test_a_thickness_is_no_surer_than_its_worst_part(a: float, b: float, c: float, d: float) -> None:
    """Independent parts add in quadrature: at least the largest, at most their sum."""
    relative = uncertainty.thickness_relative(a, b, c, d)
    assert max(a, b, c, d) * (1 - 1e-12) <= relative <= (a + b + c + d) * (1 + 1e-12)


def test_the_expanded_uncertainty_of_a_thickness() -> None:
    """Parts of 3 % and 4 % make 5 %, and of 20 µm that is ± 2 µm at k = 2."""
    assert uncertainty.thickness_uncertainty_um(20, 0.03, 0, 0, 0.04) == pytest.approx(2.0)


@given(st.floats(-1, 1), small, small)
def test_correlation_of_nought_is_the_product_rule(correlation: float, over: float, under: float) -> None:
    """A quotient lies between full help and full harm of its correlation."""
    plain = uncertainty.quotient_relative(over, under, 0)
    assert math.isclose(plain, uncertainty.product_relative(((1, over), (-1, under))), abs_tol=1e-15)
    found = uncertainty.quotient_relative(over, under, correlation)
    assert abs(over - under) - 1e-8 <= found <= over + under + 1e-8


def test_full_correlation_cancels() -> None:
    """Two readings of one faulty meter: its error leaves their quotient alone."""
    assert uncertainty.quotient_relative(0.02, 0.02, 1) == 0


@given(st.floats(0, 0.2), st.floats(0.5, 0.999))
def test_planned_with_a_confidence_it_is_met_with_that_confidence(relative: float, confidence: float) -> None:
    """The factor and the confidence are inverses."""
    planned_um = 20 * uncertainty.factor_for_confidence(relative, confidence)
    assert planned_um >= 20
    if relative > 1e-6:
        assert math.isclose(uncertainty.confidence_of(planned_um, 20, relative), confidence, rel_tol=1e-6)


def test_even_odds_need_no_allowance() -> None:
    """A confidence of one half is the plain plan."""
    assert uncertainty.factor_for_confidence(0.05, 0.5) == pytest.approx(1)
    assert uncertainty.mean_for_confidence_um(12, 0.6, 0.05, 0.5) == pytest.approx(20)


def test_the_mean_covers_ratio_and_confidence_together() -> None:
    """12 µm at a ratio of 0.6 is a mean of 20, times the factor for the confidence."""
    factor = uncertainty.factor_for_confidence(0.05, 0.95)
    assert uncertainty.mean_for_confidence_um(12, 0.6, 0.05, 0.95) == pytest.approx(20 * factor)


def test_without_uncertainty_it_is_met_or_it_is_not() -> None:
    """No spread, no odds."""
    assert uncertainty.confidence_of(20, 20, 0) == 1
    assert uncertainty.confidence_of(19.9, 20, 0) == 0


@pytest.mark.parametrize(("relative", "confidence"), [(0.05, 1), (0.05, 0.4), (0.05, math.nan), (-0.1, 0.9)])
def test_a_confidence_without_meaning_is_refused(relative: float, confidence: float) -> None:
    """Certainty cannot be planned, and less than even odds is no plan."""
    with pytest.raises(ValueError, match="must be"):
        uncertainty.factor_for_confidence(relative, confidence)


def test_a_plan_that_knows_too_little_is_refused() -> None:
    """At 70 % uncertainty no dwell gives 95 % confidence."""
    with pytest.raises(ValueError, match="cannot give a confidence"):
        uncertainty.factor_for_confidence(0.7, 0.95)


@pytest.mark.parametrize("correlation", [-1.01, 1.01, math.nan])
def test_a_correlation_lies_between_minus_one_and_one(correlation: float) -> None:
    """Anything else is no correlation."""
    with pytest.raises(ValueError, match="correlation"):
        uncertainty.quotient_relative(0.1, 0.1, correlation)


def test_the_usual_uncertainties_say_that_they_are_practice() -> None:
    """Figures that stand in for a shop's own never pass for measured ones."""
    usual = (uncertainty.USUAL_CURRENT, uncertainty.USUAL_EFFICIENCY, uncertainty.USUAL_AREA)
    assert {str(figure.source.known) for figure in usual} == {"common practice"}
    assert all(0 < figure.value < 0.1 for figure in usual)
