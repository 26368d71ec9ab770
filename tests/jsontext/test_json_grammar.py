"""Every production of RFC 8259, kept and broken: one verdict and one value on both paths of decoding."""

from typing import Any

import pytest
from json_cases import ACCEPTED, REFUSED
from json_strategies import typed

from shadefmt.jsontext.decoding import decode, decode_exactly
from shadefmt.jsontext.faults import BYTE_ORDER_MARK


@pytest.mark.parametrize(("data", "value"), ACCEPTED, ids=range(len(ACCEPTED)))
def test_accepted_texts_have_their_value_on_both_paths(data: bytes, value: Any) -> None:
    for read in (decode, decode_exactly):
        decoded = read(data)
        assert decoded.faults == ()
        assert decoded.has_value
        if value is not None or data.strip() == b"null":
            assert typed(decoded.value) == typed(value)


@pytest.mark.parametrize(("data", "codes"), REFUSED, ids=range(len(REFUSED)))
def test_refused_texts_have_their_faults_in_order_of_place(data: bytes, codes: tuple[str, ...]) -> None:
    decoded = decode(data)
    assert tuple(fault.code for fault in decoded.faults) == codes
    assert [fault.offset for fault in decoded.faults] == sorted(fault.offset for fault in decoded.faults)
    assert decoded == decode_exactly(data)
    if codes != (BYTE_ORDER_MARK,):
        assert decoded.value is None
        assert not decoded.has_value


def test_the_table_is_large_enough_to_be_called_one() -> None:
    assert len(ACCEPTED) + len(REFUSED) >= 150
    assert len({data for data, _ in [*ACCEPTED, *REFUSED]}) == len(ACCEPTED) + len(REFUSED)


def test_a_byte_order_mark_is_a_fault_behind_which_reading_goes_on() -> None:
    decoded = decode(b'\xef\xbb\xbf{"a":2.0}')
    assert decoded.value == {"a": 2}
    assert decoded.has_value
    assert [fault.code for fault in decoded.faults] == [BYTE_ORDER_MARK]


_SMALL = '{"format": "shadefmt", "L": [75.04, -1e-3, 2.0, true, null], "note": "mo\\u0308 \\\\ é😀"}\n'.encode()


def test_a_text_cut_at_any_byte_is_never_taken_for_another() -> None:
    whole = decode(_SMALL).value
    assert whole == {"format": "shadefmt", "L": [75.04, -1e-3, 2, True, None], "note": "mo\u0308 \\ é😀"}
    assert decode(_SMALL[:-1]).value == whole  # the line feed is white space
    for length in range(len(_SMALL) - 1):
        decoded = decode(_SMALL[:length])
        assert not decoded.has_value, length
        assert decoded.faults[-1].code in ("syntax-text-unfinished", "syntax-empty"), length


def test_null_is_a_value_and_not_the_lack_of_one() -> None:
    assert decode(b"null").has_value
    assert not decode(b"nul").has_value
