"""What `scripts/measure_coverage.py` prints is as good as the documents say; simulated, seeded, bounded."""

from math import sqrt

import pytest

PAIRS = 250


def room(share):
    """Three standard errors of a share of the simulated pairs."""
    return 3 * sqrt(share * (1 - share) / PAIRS)


@pytest.fixture(scope="module")
def rows(script):
    return {(row.noise, row.truth): row for row in script("measure_coverage").rows(PAIRS)}


def test_intervals_cover_the_truth_as_often_as_they_say(rows):
    """95.4 % by the full covariances in every case, also at a true difference of zero."""
    assert all(row.covered > 0.95 - room(0.95) for row in rows.values())


def test_what_documents_state_covers_the_truth_however_uneven_the_noise(rows):
    """95 % in every case; noise is up to twelve times as great in one direction as in another."""
    assert all(row.covered_stated > 0.95 - room(0.95) for row in rows.values())


def test_one_number_covers_where_noise_is_alike_in_all_directions_and_less_where_it_is_not(rows):
    for (noise, _), row in rows.items():
        assert row.covered_number > (0.86 if noise in ("lightness", "yellowness") else 0.94) - room(0.9)
    assert min(row.covered_number for row in rows.values()) < 0.93


def test_a_true_zero_is_never_excluded_more_often_than_one_in_twenty(rows):
    for noise in ("ordinary", "quiet", "lightness", "yellowness"):
        assert rows[noise, 0.0].covered > 0.95 - room(0.95)
        assert rows[noise, 0.0].near_zero > 0.95 - room(0.95)


def test_a_guard_band_keeps_wrong_decisions_rare_and_the_simple_rule_is_a_coin_at_the_limit(rows):
    """ILAC-G8:09/2019: below 2.5 % with a guard band of U, up to 50 % without."""
    for noise in ("ordinary", "quiet", "lightness", "yellowness"):
        at_limit = rows[noise, 1.8]
        assert at_limit.wrong["simple"] == pytest.approx(0.5, abs=0.03 + room(0.5))
        for truth in (1.6, 1.8, 2.0, 2.4):
            for rule in ("guarded", "four-way-guarded"):
                assert rows[noise, truth].wrong[rule] < 0.025 + room(0.025)
        assert rows[noise, 3.6].wrong["simple"] == 0


def test_a_trial_lies_as_far_away_as_asked(script):
    from shadefmt.colour.difference_single import ciede2000

    measured = script("measure_coverage")
    for truth in measured.TRUTHS:
        assert ciede2000(measured.STANDARD, measured.trial_at(truth)) == pytest.approx(truth, abs=1e-9)
