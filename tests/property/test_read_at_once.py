"""What is read, converted or kept for many rows at once is what comes of them one by one."""

from decimal import Decimal
from unittest.mock import patch

import polars as pl
import pytest
from hypothesis import given
from hypothesis import settings as run_settings
from hypothesis import strategies as st

from pipelines.checking import cells, conversions, versions
from pipelines.checking.figures import WIDE, is_converted, read_figure, read_plain_figures
from pipelines.checking.numbers import Decimals
from pipelines.checking.readings import Value, read_told, read_told_plainly
from schemas.records import RECORDS
from tests.property.test_judging import LISTS, TEXTS, Files, drawn_files, hand_in

FIGURES = {
    name: record.schema.columns[name].dtype.type
    for record in RECORDS.values()
    for name in record.figures
}
figure_texts = st.one_of(
    st.sampled_from(TEXTS),
    st.decimals(allow_nan=False, allow_infinity=False).map(str),
    st.from_regex(r"[0-9]{1,17}(\.[0-9]{1,7})?", fullmatch=True),
    st.sampled_from(["007", "5.", ".5", "+4", "1.000", "20", "99", "100", "0", "0.000", "\u0663"]),
)
words = st.one_of(
    st.sampled_from([*TEXTS, "abc123", "ABC123", "#1", "tbc", "na 1"]), st.text(max_size=5)
)


@given(st.sampled_from(sorted(FIGURES)), st.lists(figure_texts, min_size=1, max_size=8))
@run_settings(max_examples=150, deadline=None)
def test_a_figure_read_plainly_is_the_figure_read_with_care(name: str, texts: list[str]) -> None:
    dtype = FIGURES[name]
    column = pl.Series(name, texts, dtype=pl.String)
    kept = WIDE if is_converted(name) else dtype

    for text, found in zip(texts, read_plain_figures(column, dtype), strict=True):
        if found is None:
            continue
        for style in (Decimals.POINTS, Decimals.COMMAS):
            careful = read_figure(text, name, dtype, style)
            assert (careful.unit, careful.rule, careful.fault) == (None, None, None)
            assert pl.Series([careful.value], dtype=kept).to_list() == [found]


def test_digits_and_a_point_are_read_plainly() -> None:
    column = pl.Series("line_net_gbp", ["12.5", "0", "1,250.00", None, "1.005"], dtype=pl.String)
    found = read_plain_figures(column, FIGURES["line_net_gbp"]).to_list()
    assert found == [Decimal("12.5"), Decimal(0), None, None, None]


@given(st.lists(words, min_size=1, max_size=8))
@run_settings(max_examples=100, deadline=None)
def test_a_word_taken_as_it_stands_tells_something(texts: list[str]) -> None:
    column = pl.Series("document_no", texts, dtype=pl.String)
    for text, found in zip(texts, read_told_plainly(column), strict=True):
        assert found is None or read_told(text) == Value(found)


def _none_alone(_: object, rows: pl.DataFrame, __: object) -> pl.Series:
    return pl.repeat(value=False, n=rows.height, eager=True)


def _none_in_base_units(name: str, rows: pl.DataFrame, _: object) -> pl.Series:
    return pl.repeat(None, rows.height, dtype=conversions.QUANTITY, eager=True).alias(name)


def _none_plain(texts: pl.Series, dtype: pl.DataType) -> pl.Series:
    kept = WIDE if is_converted(texts.name) else dtype
    return pl.repeat(None, len(texts), dtype=kept, eager=True).alias(texts.name)


@pytest.mark.parametrize(
    ("module", "way", "careful"),
    [
        (versions, "find_alone", _none_alone),
        (conversions, "_keep_base_units", _none_in_base_units),
        (cells, "read_plain_figures", _none_plain),
    ],
)
@given(files=drawn_files(), new_batch=st.lists(st.booleans(), min_size=4, max_size=4))
@run_settings(max_examples=20, deadline=None)
def test_the_short_way_changes_nothing_that_is_judged(
    module, way, careful, files: tuple[str, Files], new_batch: list[bool]
) -> None:
    name, handed_in = files
    at_once = hand_in(name, handed_in, new_batch).judge(LISTS)[name]
    with patch.object(module, way, careful):
        one_by_one = hand_in(name, handed_in, new_batch).judge(LISTS)[name]

    for found, expected in zip(vars(at_once).values(), vars(one_by_one).values(), strict=True):
        assert (found.schema, found.rows()) == (expected.schema, expected.rows())
