"""What is said on standard error stays readable whatever a file holds."""

import pytest

from shadefmt.cli.speaking import say


def test_an_endless_word_is_cut_and_a_long_sentence_is_not(capsys: pytest.CaptureFixture[str]) -> None:
    sentence = "ids: " + ", ".join(f"reading-{number}" for number in range(500))
    say(f"{'x' * 1_000_000}: no such id. {sentence}")
    said = capsys.readouterr().err
    assert said == f"{'x' * 1000}... no such id. {sentence}\n"


def test_a_word_that_fits_is_whole(capsys: pytest.CaptureFixture[str]) -> None:
    say("y" * 1000)
    assert capsys.readouterr().err == "y" * 1000 + "\n"
