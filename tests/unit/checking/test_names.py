"""A name is matched as written, by a spelling that has one match, or not at all."""

import pytest

from pipelines.checking.judging import FirmLists
from pipelines.checking.names import Names
from tests.unit.checking.judged_inbox import Inbox, in_force, outcomes, reasons

JOBS = Names(["2025-014", "2025-114", "1-11", "11-1"], "job", references=True)
MATERIALS = Names(["mat 450", "mat 600", "drip trim", "Board", "board", "gutter trim"], "material")


@pytest.mark.parametrize("text", ["2025-O14", "2O25-o14", "2025/014", "2025 014", "2025-0I4"])
def test_look_alike_letters_and_marks_are_the_same_reference(text: str) -> None:
    match = JOBS.match(text)

    assert match.name == "2025-014"
    assert match.rule == "spelling with one match among the jobs"


@pytest.mark.parametrize("text", ["2025-015", "2025-14", "2025014", "111"])
def test_another_figure_is_another_job(text: str) -> None:
    match = JOBS.match(text)

    assert match.name is None
    assert "is no job that is known" in str(match.fault)


def test_references_that_differ_only_in_where_the_mark_stands_are_two_jobs() -> None:
    assert (JOBS.match("1-11").name, JOBS.match("11-1").name) == ("1-11", "11-1")
    assert JOBS.match("1/11").name == "1-11"


@pytest.mark.parametrize(
    ("text", "name"),
    [("Drip  Trim", "drip trim"), ("drip trin", "drip trim"), ("driptrim", "drip trim"),
     ("MAT 450", "mat 450")],
)  # fmt: skip
def test_a_material_is_matched_by_case_spaces_and_one_letter(text: str, name: str) -> None:
    match = MATERIALS.match(text)

    assert match.name == name
    assert match.rule is not None


@pytest.mark.parametrize("text", ["mat 460", "mat 45", "mats 460", "mat 450g", "rip tram"])
def test_another_figure_or_two_slips_are_another_material(text: str) -> None:
    assert MATERIALS.match(text).name is None


def test_a_short_word_that_differs_is_no_slip() -> None:
    names = Names(["edge trim a"], "material")

    assert names.match("edge trim b").name is None


def test_what_could_be_two_is_refused_and_both_are_named() -> None:
    capitals = MATERIALS.match("BOARD")
    near = Names(["stone grey", "stone gray"], "colour").match("stone grzy")

    assert (capitals.name, capitals.fault) == (None, "could be Board or board")
    assert (near.name, near.fault) == (None, "could be stone gray or stone grey")


def test_another_word_is_one_match_however_many_words_the_name_has() -> None:
    names = Names(["garage"], "job type", other_words={"garage": ("gar", "garages", "garager")})

    assert names.match("GAR").name == "garage"
    assert names.match("garagee").name == "garage"


def test_near_names_are_suggested_never_taken() -> None:
    assert "did you mean 2025-014" in str(JOBS.match("2025-0144").fault)


def test_a_mended_reference_is_on_record_with_what_was_written() -> None:
    judged = (
        Inbox(jobs=["2025-014"])
        .add("job_materials", "job_ref|material|issued_quantity\n2025-O14|Resin|20")
        .judge()["job_materials"]
    )

    assert outcomes(judged) == ["repaired"]
    assert judged.repairs.select("column_name", "value_before", "value_after").rows() == [
        ("job_ref", "2025-O14", "2025-014"),
        ("material", "Resin", "resin"),
    ]


def test_a_row_whose_job_or_material_is_not_known_is_rejected_and_told_what_mends_it() -> None:
    judged = (
        Inbox(jobs=["2025-014"])
        .add(
            "job_materials",
            "job_ref|material|issued_quantity\n2025-015|resin|20\n2025-014|mat 460|20",
        )
        .judge()["job_materials"]
    )

    assert reasons(judged) == [
        "job_ref: is no job that is known; did you mean 2025-014?",
        "material: is no material that is known; did you mean mat 450?",
    ]
    assert judged.rejects["remedy"].str.contains("judged again at every run").all()


def test_a_list_is_read_against_itself_so_another_spelling_is_the_same_job() -> None:
    judged = (
        Inbox()
        .add("jobs", "job_ref|job_type\n2025-014|garage")
        .next_batch()
        .add("jobs", "job_ref|crew\n2025-O14|first van")
        .judge()["jobs"]
    )

    assert in_force(judged, "jobs", "job_ref", "job_type", "crew") == [
        ("2025-014", "garage", "first van")
    ]


def test_one_supplier_in_two_spellings_is_one_and_one_letter_off_is_another() -> None:
    line = "2026-03-01|carriage|5|carriage"
    judged = (
        Inbox()
        .add(
            "purchases",
            f"""
            supplier        | document_no | document_on | description | line_net_gbp | line_kind
            Quayside Resins | 12          | {line}
            """,
        )
        .add(
            "purchases",
            f"""
            supplier        | document_no | document_on | description | line_net_gbp | line_kind
            quayside resins | 12          | {line}
            Quayside Resin  | 12          | {line}
            """,
        )
        .judge()["purchases"]
    )

    assert outcomes(judged) == ["clean", "already held", "clean"]


LISTS = FirmLists(job_types={"garage": ("gar",)}, lay_ups=("450 single",), crews=("first van",))


def test_the_firms_own_lists_are_closed_where_they_are_set() -> None:
    judged = (
        Inbox()
        .add(
            "jobs",
            """
            job_ref  | job_type | lay_up     | crew
            2025-014 | GAR      | 450 Single | first van
            2025-015 | dormer   | 450 single | first van
            2025-016 | garage   | 600 single | third van
            2025-017 | all      |            |
            """,
        )
        .judge(LISTS)["jobs"]
    )

    assert outcomes(judged) == ["repaired", "rejected", "rejected", "rejected"]
    assert in_force(judged, "jobs", "job_type", "lay_up") == [("garage", "450 single")]


def test_a_decision_may_speak_of_all_job_types() -> None:
    judged = (
        Inbox()
        .add(
            "decisions",
            """
            material | job_type | decided_on | decision | fixed_loss | price_ratio | load_ratio
            resin    | all      | 2026-03-01 | set      | 1          | 0.1         | 0.2
            """,
        )
        .judge(LISTS)["decisions"]
    )

    assert outcomes(judged) == ["clean"]
