"""Bringing in a spreadsheet: good rows go in, refused ones wait, nothing goes in twice, all is signed."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from tarsus.actions.imports import (
    MayNotImport,
    NotAsked,
    NothingBroughtIn,
    bring_in,
    planned,
    save_mapping,
)
from tarsus.actions.mending import leave_out, mend_line
from tarsus.core.errors import MalformedInput
from tarsus.core.marks.marks import Marks
from tarsus.queries.flock import birds_everywhere, sexes_of
from tarsus.queries.imports import batch_told, batches_told, saved_mapping
from tarsus.queries.marks import marks_on
from tarsus.records import models as rows
from tarsus.tables.choices import Choices
from tarsus.tables.columns import columns_for, field_of
from tarsus.tables.reading import read_table
from tarsus.tables.rows import Sheet

pytestmark = pytest.mark.django_db

HEADING = "name,species,sex,exhibit,since,marks,metal,transponder,dam,mate,note\n"
DAY = date(2026, 6, 11)


def table(*lines: str) -> Sheet:
    return read_table((HEADING + "\n".join(lines) + "\n").encode(), "park.csv", lambda h: bool(field_of(h)))


def sent(park: Any, sheet: Sheet, letters: str = "wader", **more: Any) -> Any:
    columns = columns_for(sheet.headings)
    choices = Choices(letters=letters, **more.pop("choices", {}))
    wishes = {"file_name": "park.csv", "digest": "d", "by": park.actors.corin, **more}
    return bring_in(sheet=sheet, columns=columns, choices=choices, **wishes)


def only_bird(brought: Any) -> int:
    ((_, bird),) = brought.birds.items()
    return bird


def test_a_transponder_comes_in_as_an_antenna_reads_it(park: Any) -> None:
    brought = sent(park, table("Orache,pied avocet,f,shingle aviary,2026-03-04,,,999 000-222222222,,,"))
    assert rows.Transponder.objects.get(bird=only_bird(brought)).number == "999000222222222"


def test_a_good_row_becomes_a_bird_with_its_stay_sex_and_bands(park: Any) -> None:
    brought = sent(park, table("Orache,pied avocet,f,shingle aviary,2026-03-04,m/YB,WB 555,chip7,,,calm"))
    bird = rows.Bird.objects.get(pk=only_bird(brought))
    assert (bird.house_name, bird.species_id, bird.recorded_by_id) == (
        "Orache",
        park.avocet,
        park.actors.corin,
    )
    assert sexes_of([bird.pk], DAY)[bird.pk][0] == "F"
    stay = rows.Stay.objects.get(bird=bird)
    assert (stay.exhibit_id, stay.from_on) == (park.shingle, date(2026, 3, 4))
    worn = Marks.of({"left tibia": ["metal"], "right tibia": ["yellow", "blue"]})
    assert marks_on(bird.pk, date(2026, 3, 4)) == worn
    assert marks_on(bird.pk, date(2026, 3, 3)) == Marks()
    metal = rows.Band.objects.get(bird=bird, kind="metal")
    assert (metal.series, metal.engraving, metal.engraving_key) == ("WB", "WB 555", "WB555")
    assert rows.Transponder.objects.get(bird=bird).number == "chip7"
    assert rows.Note.objects.get(bird=bird).text == "calm"
    assert rows.Arrival.objects.get(bird=bird).exhibit_id == park.shingle


def test_a_dry_run_writes_nothing(park: Any) -> None:
    sheet = table(
        "Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YB,,,,,", "x,Gull,F,Shingle Aviary,,,,,,,"
    )
    before = {model: model.objects.count() for model in (rows.Bird, rows.Band, rows.ImportBatch, rows.Colour)}
    plan = planned(sheet, columns_for(sheet.headings), Choices(letters="wader"))
    assert [bird.name for bird in plan.birds] == ["Orache"]
    assert [model.objects.count() for model in before] == list(before.values())


def test_sending_a_file_again_brings_nothing_in_twice(park: Any) -> None:
    sheet = table(
        "Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YB,,,,,", ",Ruff,M,Reed House,2026-03-04,W/m,,,,,"
    )
    assert len(sent(park, sheet).birds) == 2
    again = sent(park, sheet)
    assert (len(again.birds), again.plan.in_before, again.plan.refused) == (0, (2, 3), ())


def test_refused_rows_wait_with_every_reason_and_go_in_when_mended(park: Any) -> None:
    sheet = table(
        "Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YB,,,,,",
        "Spurrey,Ruff,female?,Reed House,31.2.2026,m/G,,,,,",
    )
    brought = sent(park, sheet)
    assert list(brought.birds) == [2]
    told = batch_told(brought.batch_id)
    assert told is not None
    (waiting,) = told.waiting
    assert [(one.line, one.field) for one in waiting.reasons] == [(3, "since"), (3, "sex")]
    assert all(one.reason and one.remedy for one in waiting.reasons)

    save_mapping(
        name="park", columns=columns_for(sheet.headings), choices=Choices("wader"), by=park.actors.corin
    )
    rows.ImportBatch.objects.update(mapping=rows.ColumnMapping.objects.get())
    half = mend_line(batch_id=brought.batch_id, line=3, cells={"sex": "F"}, by=park.actors.corin)
    assert [one.field for one in half] == ["since"]
    (waiting,) = batch_told(brought.batch_id).waiting  # type: ignore[union-attr]  # it was there above
    assert waiting.cells["sex"] == "F"

    assert (
        mend_line(batch_id=brought.batch_id, line=3, cells={"since": "2026-03-01"}, by=park.actors.corin)
        == ()
    )
    assert batch_told(brought.batch_id).waiting == ()  # type: ignore[union-attr]  # it was there above
    spurrey = rows.Bird.objects.get(house_name="Spurrey")
    assert marks_on(spurrey.pk, DAY) == Marks.of({"left leg": ["metal"], "right leg": ["green"]})
    with pytest.raises(MalformedInput, match="does not wait any more"):
        mend_line(batch_id=brought.batch_id, line=3, cells={}, by=park.actors.corin)


def test_a_refused_row_is_kept_as_it_stood_with_what_is_wrong_and_what_to_do(park: Any) -> None:
    sheet = table(
        "Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YB,,,,,", "Spurrey,Ruff,hmm,Reed House,,m/G,,,,,"
    )
    brought = sent(park, sheet, file_name="p" * 300, digest="d41")
    batch = rows.ImportBatch.objects.get(pk=brought.batch_id)
    assert (batch.file_name, batch.digest, batch.mapping_id) == ("p" * 200, "d41", None)
    assert (batch.rows_in, batch.rows_refused, batch.all_or_nothing) == (1, 1, False)
    assert batch.by_id == park.actors.corin
    (kept,) = rows.RefusedRow.objects.all()
    assert (kept.batch_id, kept.line, kept.sheet, kept.field) == (batch.pk, 3, sheet.name, "sex")
    assert (kept.cells["name"], kept.cells["sex"], kept.cells["exhibit"]) == ("Spurrey", "hmm", "Reed House")
    assert (kept.reason, kept.remedy.split(",")[0]) == ("'hmm' is no sex", "write F")
    (row,) = rows.ImportedRow.objects.all()
    assert (row.batch_id, row.line, row.bird_id) == (batch.pk, 2, only_bird(brought))
    assert row.row_digest


def test_a_row_mended_on_the_page_is_signed_and_the_first_words_wait_no_more(park: Any) -> None:
    brought = sent(park, table("Spurrey,Ruff,hmm,Reed House,2026-03-01,m/Y,,,,,"))
    maren = park.actors.maren
    again = mend_line(batch_id=brought.batch_id, line=2, cells={"sex": "hm"}, by=maren)
    assert [(one.line, one.field, one.reason) for one in again] == [(2, "sex", "'hm' is no sex")]
    first, second = rows.RefusedRow.objects.order_by("pk")
    assert (first.mended_by_id, first.bird_id, first.mended_at is None) == (maren, None, False)
    assert (second.line, second.field, second.reason) == (2, "sex", "'hm' is no sex")
    assert (second.cells["sex"], second.cells["name"], second.mended_at) == ("hm", "Spurrey", None)
    assert second.remedy == first.remedy
    assert second.sheet == first.sheet
    assert mend_line(batch_id=brought.batch_id, line=2, cells={"sex": "F"}, by=maren) == ()
    second.refresh_from_db()
    bird = rows.Bird.objects.get(house_name="Spurrey").pk
    assert (second.mended_by_id, second.bird_id) == (maren, bird)
    assert rows.ImportedRow.objects.get(bird_id=bird).line == 2


def test_a_refused_import_says_in_one_sentence_what_to_do(park: Any) -> None:
    good = "Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YB,,,,,"
    bad = "x{0},Ruff,hmm,Reed House,31.2.2026,,,,,,"
    with pytest.raises(NothingBroughtIn) as nothing:
        sent(park, table(good, bad.format(1)), all_or_nothing=True)
    assert str(nothing.value).startswith("nothing was brought in: line 3, ")
    assert " more" not in str(nothing.value), "two things wrong in one line are one line"
    with pytest.raises(NothingBroughtIn) as nothing:
        sent(park, table(good, bad.format(1), bad.format(2), bad.format(3)), all_or_nothing=True)
    assert str(nothing.value).endswith(" and 2 more")
    assert {one.line for one in nothing.value.refused} == {3, 4, 5}
    with pytest.raises(NotAsked) as asked:
        sent(
            park, table(good, "y,Gull,F,Shingle Aviary,,,,,,,", "z,Smew,F,Shingle Aviary,,,,,,,"), letters=""
        )
    assert str(asked.value) == (
        "in the marks B may be blue or black or brown: say which letters the park uses; "
        "say where these wear bands (leg, tibia, wing or none): Gull, Smew"
    )
    with pytest.raises(MayNotImport) as may_not:
        sent(park, table(good), by=park.actors.tilda)
    assert str(may_not.value) == (
        "by: Tilda may not bring in a spreadsheet; ask one of: lead, records, administrator"
    )
    assert may_not.value.name == "Tilda"
    with pytest.raises(MayNotImport):
        mend_line(batch_id=1, line=2, cells={}, by=park.actors.tilda)
    with pytest.raises(MalformedInput, match=r"^import: "):
        mend_line(batch_id=-1, line=2, cells={}, by=park.actors.corin)
    with pytest.raises(MalformedInput) as nameless:
        save_mapping(name=" ", columns=columns_for(("name",)), choices=Choices(), by=park.actors.corin)
    assert str(nameless.value) == "mapping: has no name; give it one, such as the file's"


def test_a_refused_row_can_be_left_out(park: Any) -> None:
    brought = sent(park, table("x,Gull,F,Shingle Aviary,,,,,,,"), choices={"species": {"Gull": "leg"}})
    brought = sent(park, table("y,Gull,female?,Shingle Aviary,,,,,,,"))
    leave_out(batch_id=brought.batch_id, line=2, by=park.actors.corin)
    assert batch_told(brought.batch_id).waiting == ()  # type: ignore[union-attr]  # it was just made


def test_all_or_nothing_writes_nothing_when_one_row_is_refused(park: Any) -> None:
    sheet = table("Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YB,,,,,", "x,Ruff,hmm,Reed House,,,,,,,")
    with pytest.raises(NothingBroughtIn, match="line 3, sex: 'hmm' is no sex; write F, M or"):
        sent(park, sheet, all_or_nothing=True)
    assert not rows.Bird.objects.filter(house_name="Orache").exists()
    assert not rows.ImportBatch.objects.exists()


def test_disputed_letters_and_new_species_are_asked_before_anything_is_written(park: Any) -> None:
    sheet = table(
        "Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YB,,,,,", "x,Gull,F,Shingle Aviary,,,,,,,"
    )
    with pytest.raises(NotAsked) as asked:
        sent(park, sheet, letters="")
    assert asked.value.letters == {"B": ("blue", "black", "brown")}
    assert asked.value.species == ("Gull",)
    assert not rows.ImportBatch.objects.exists()
    brought = sent(park, sheet, letters="B=black", choices={"species": {"Gull": "none"}})
    orache = rows.Bird.objects.get(house_name="Orache")
    assert marks_on(orache.pk, DAY).at("right tibia") == ("yellow", "black")
    assert rows.Species.objects.get(name="Gull").form == "told"
    assert len(brought.birds) == 2


def test_the_parks_own_letters_serve_when_the_file_is_written_in_them(park: Any) -> None:
    rows.Colour.objects.filter(name="brown").update(letter="X")
    rows.Colour.objects.filter(name="black").update(letter="Z")
    sheet = table("Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/ZX,,,,,")
    sent(park, sheet, letters="park")
    orache = rows.Bird.objects.get(house_name="Orache")
    assert marks_on(orache.pk, DAY).at("right tibia") == ("black", "brown")


def test_facts_that_break_a_rule_go_in_with_a_warning(park: Any) -> None:
    rows.Species.objects.get(pk=park.ruff).excluded_colours.add(rows.Colour.objects.get(name="orange"))
    brought = sent(
        park,
        table(
            "Two,Ruff,?,Reed House,2026-03-04,mm/-,,,,,",
            "Above,Ruff,?,Reed House,2026-03-04,LTib: m; RTib: W,,,,,",
            "Split,Ruff,?,Reed House,2026-03-04,left tibia m; left tarsus m,,,,,",
            "Side,Ruff,F,Reed House,2026-03-04,W/m,,,,,",
            "Vanishing,Ruff,?,Reed House,2026-03-04,m/O,,,,,",
            "Crowded,Ruff,?,Reed House,2026-03-04,m/WYG,,,,,",
            "Alike,Ruff,?,Shingle Aviary,2026-03-04,-/LW,,,,,",
            "Fine,Ruff,M,Reed House,2026-03-04,RL/m,,,,,",
        ),
        choices={"runs": {"WYG": "white,yellow,green"}},
    )
    assert len(brought.birds) == 8
    said: dict[int, list[str]] = {}
    for one in brought.plan.remarks:
        said.setdefault(one.line, []).append(one.text)
    assert "2 metal bands on the left leg" in said[2][0]
    assert "left tibia, where a Ruff is not banded" in said[3][0]
    assert any("2 metal bands on the left leg" in text for text in said[4])
    assert said[5] == ["the metal band is on the right; females wear it on the left in this park"]
    assert "orange is not used for a Ruff" in said[6][0]
    assert said[7] == ["3 bands on the right leg; this park fits at most 2"]
    assert "same marks as Dock, in the register" in said[8][0]
    assert 9 not in said
    assert batches_told()[0].warnings[0].startswith("line 2: 2 metal bands")


def test_a_metal_number_is_never_given_twice(park: Any) -> None:
    brought = sent(
        park,
        table(
            "One,Ruff,?,Reed House,2026-03-04,m/W,wb20417,,,,",
            "Two,Ruff,?,Reed House,2026-03-04,m/Y,WB 777,,,,",
            "Three,Ruff,?,Reed House,2026-03-04,m/G,WB777,,,,",
        ),
    )
    assert list(brought.birds) == [3]
    assert [(one.line, one.reason) for one in brought.plan.refused] == [
        (2, "metal number wb20417 is worn by Samphire, in the register"),
        (4, "metal number WB777 is worn by Two of line 3"),
    ]


@pytest.mark.parametrize(
    ("marks", "metal", "said"),
    [
        ("-/YR", "WB 9", "the marks show no metal band"),
        ("mm/-", "WB 9", "may belong to either metal band"),
        ("m(WB 8)/-", "WB 9", "is another number than WB 8 in the marks"),
        ("m/?", "", "leaves a band of the right leg without its colour"),
    ],
)
def test_a_metal_number_must_find_its_band(park: Any, marks: str, metal: str, said: str) -> None:
    plan = sent(park, table(f"One,Ruff,?,Reed House,2026-03-04,{marks},{metal},,,,")).plan
    assert [said in one.reason for one in plan.refused] == [True]


def test_kin_is_found_by_name_in_the_file_and_in_the_register(park: Any) -> None:
    brought = sent(
        park,
        table(
            "Egg,Pied avocet,?,Shingle Aviary,2026-03-04,,,,Sedge,,",
            "Reed,Pied avocet,F,Shingle Aviary,2026-03-04,m/WW,,,,Rush,",
            "Rush,Pied avocet,M,Shingle Aviary,2026-03-06,WW/m,,,,Reed,",
            "Lost,Pied avocet,?,Shingle Aviary,2026-03-04,m/RR,,,Nobody,,old",
        ),
    )
    egg = rows.Bird.objects.get(house_name="Egg")
    assert egg.dam_id == park["Sedge"]
    pair = rows.Pair.objects.get(first__in=brought.birds.values())
    assert {pair.first_id, pair.second_id} == {brought.birds[3], brought.birds[4]}
    assert pair.from_on == date(2026, 3, 6)
    assert rows.Note.objects.get(bird=brought.birds[5]).text == "old; dam: Nobody"
    assert any(
        "no bird of this file or register is called 'Nobody'" in one.text for one in brought.plan.remarks
    )


def test_exhibits_nearly_alike_are_refused_and_new_ones_are_made(park: Any) -> None:
    brought = sent(
        park,
        table(
            "A,Ruff,?,Reed Huose,2026-03-04,m/W,,,,,",
            "B,Ruff,?,Aviary 1,2026-03-04,m/Y,,,,,",
            "C,Ruff,?,Aviary 2,2026-03-04,m/G,,,,,",
        ),
    )
    assert brought.plan.new_exhibits == ("Aviary 1", "Aviary 2")
    assert [one.remedy for one in brought.plan.refused] == ["did you mean 'Reed House'?"]
    assert rows.Exhibit.objects.filter(name__startswith="Aviary").count() == 2


def test_notes_on_bands_are_kept_with_them(park: Any) -> None:
    bird = only_bird(sent(park, table("One,Ruff,?,Reed House,2026-03-04,closed metal/Y(tie)G(worn),,,,,")))
    bands = rows.Band.objects.filter(bird=bird).order_by("site", "order")
    assert [(band.kind, band.temporary, band.order) for band in bands] == [
        ("closed", False, 100),
        ("cable tie", True, 100),
        ("colour", False, 200),
    ]
    assert [check.band_id for check in rows.BandCheck.objects.filter(condition="worn")] == [bands[2].pk]


@pytest.mark.parametrize("actor", ["tilda", "ilse", "pia"])
def test_only_lead_records_and_administrator_bring_a_file_in(park: Any, actor: str) -> None:
    sheet = table("Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YY,,,,,")
    with pytest.raises(MayNotImport):
        sent(park, sheet, by=getattr(park.actors, actor))
    assert not rows.Bird.objects.filter(house_name="Orache").exists()
    assert sent(park, sheet, by=park.actors.maren).birds


def test_a_saved_mapping_is_taken_up_again_as_it_was(park: Any) -> None:
    sheet = table("Orache,Pied avocet,F,Shingle Aviary,2026-03-04,m/YY,,,,,")
    choices = Choices("B=black", "tarsus", "day first", True, "Reed House", {"Gull": "none"})
    columns = columns_for(sheet.headings, {"note": "-"})
    save_mapping(name=" our  list ", columns=columns, choices=choices, by=park.actors.maren)
    kept = saved_mapping("our list")
    assert Choices.of(kept.writing) == choices
    assert columns_for(sheet.headings, kept.columns) == columns


def test_planning_asks_the_register_as_often_for_few_birds_as_for_many(park: Any) -> None:
    def queries(amount: int) -> int:
        lines = [f"N{number},Ruff,?,Reed House,2026-03-04,,,c{number},,," for number in range(amount)]
        sheet = table(*lines)
        with CaptureQueriesContext(connection) as asked:
            planned(sheet, columns_for(sheet.headings), Choices())
        return len(asked)

    assert queries(2) == queries(60)


def test_every_brought_bird_lives_where_the_file_says(park: Any) -> None:
    sent(park, table("Orache,Pied avocet,F,Reed House,2026-03-04,m/YY,,,,,"))
    homes = {bird.name: bird.exhibit_id for bird in birds_everywhere(DAY)}
    assert homes["Orache"] == park.reed
    assert homes["Samphire"] == park.shingle


def test_many_birds_alike_are_one_warning_each(park: Any) -> None:
    lines = [f"N{number},Ruff,?,Reed House,2026-03-04,RR/-,,,,," for number in range(6)]
    remarks = [one for one in sent(park, table(*lines)).plan.remarks if one.field == "marks"]
    assert [one.line for one in remarks] == [3, 4, 5, 6, 7]
    assert "N0 of line 2 and N1 of line 3 and N2 of line 4 and 2 more" in remarks[-1].text


def test_a_dam_is_no_male_of_the_same_name(park: Any) -> None:
    brought = sent(
        park,
        table(
            "Rush,Pied avocet,M,Shingle Aviary,2026-03-04,RR/m,WB 1,,,,",
            "Rush,Pied avocet,F,Shingle Aviary,2026-03-04,m/RR,WB 2,,,,",
            "Reed,Pied avocet,M,Shingle Aviary,2026-03-04,RW/m,WB 3,,,,",
            "Egg,Pied avocet,?,Shingle Aviary,2026-03-04,,,,Rush,,",
            "Odd,Pied avocet,?,Shingle Aviary,2026-03-04,,,,Reed,,",
        ),
    )
    assert rows.Bird.objects.get(house_name="Egg").dam_id == brought.birds[3]
    assert rows.Bird.objects.get(house_name="Odd").dam_id is None
    assert [one.text for one in brought.plan.remarks if one.line == 6] == [
        "no female is called 'Reed'; kept as a note"
    ]


def lived(*cells: str) -> Sheet:
    """One Ruff a row, with its dates and origin: hatched, arrived, since, banded, origin, came from."""
    heading = "name,species,exhibit,marks,hatched,arrived,since,banded,origin,came from\n"
    body = "".join(f"Bird {n},Ruff,Reed House,m/{'RWYGBP'[n]},{row}\n" for n, row in enumerate(cells))
    return read_table((heading + body).encode(), "park.csv", lambda one: bool(field_of(one)))


def test_a_bird_counts_from_its_arrival_and_brings_its_bands(park: Any) -> None:
    brought = sent(
        park,
        lived(
            "2019-05-01,2021-03-02,2022-07-08,2020-06-09,captive,Far Mere",
            "2019-05-01,2021-03-02,,2021-03-05,wild,",
            "2024-05-01,,,,hatched here,",
            "2024-05-01,,2024-05-20,2024-05-25,hatched here,",
        ),
    )
    far, wild, own, moved = (brought.birds[line] for line in (2, 3, 4, 5))
    begun = dict(rows.Stay.objects.filter(bird__in=brought.birds.values()).values_list("bird_id", "from_on"))
    assert begun == {
        far: date(2021, 3, 2),
        wild: date(2021, 3, 2),
        own: date(2024, 5, 1),
        moved: date(2024, 5, 20),
    }
    bands = rows.Band.objects.filter(kind="metal", bird__in=brought.birds.values())
    assert dict(bands.values_list("bird_id", "came_with_it")) == {
        far: True,
        wild: False,
        own: False,
        moved: False,
    }
    assert dict(bands.values_list("bird_id", "from_on"))[moved] == date(2024, 5, 25)
    arrivals = rows.Arrival.objects.filter(bird__in=brought.birds.values())
    assert set(arrivals.values_list("bird_id", "came_from")) == {(far, "Far Mere"), (wild, "not said")}
    said = [one.text for one in brought.plan.remarks if one.line == 2]
    assert said == ["counted here from its arrival on 2021-03-02: where it was before 2022-07-08 is not told"]


def test_nothing_happens_to_a_bird_before_it_hatches(park: Any) -> None:
    plan = sent(
        park,
        lived(
            "2022-05-01,,2022-04-30,,,",
            "2022-05-01,,2022-05-01,2022-04-01,,",
            "2022,,2021-12-31,,,",
            "2022,,2022-01-01,,,",
            "about 2022,,2021-12-31,,,",
        ),
    ).plan
    assert [(one.line, one.field) for one in plan.refused] == [(2, "since"), (3, "banded"), (4, "since")]
    assert [bird.line for bird in plan.birds] == [5, 6]


def test_what_somebody_writes_while_lines_are_looked_at_counts(park: Any) -> None:
    sheet = table("Orache,pied avocet,f,shingle aviary,2026-03-04,,,999000333333333,,,")

    def another_writes(_: int) -> None:
        if not rows.Bird.objects.filter(house_name="Whelk").exists():
            sent(park, table("Whelk,pied avocet,m,shingle aviary,2026-03-04,,,999000333333333,,,"))

    brought = sent(park, sheet, progress=another_writes)
    assert brought.birds == {}
    assert "Whelk" in brought.plan.refused[0].reason
    assert rows.Transponder.objects.filter(number="999000333333333").count() == 1


def test_what_is_told_of_an_import_at_its_end_is_kept_with_it_or_not_at_all(park: Any) -> None:
    def broken(_: Any) -> None:
        raise MalformedInput("", "the power went")

    with pytest.raises(MalformedInput):
        sent(park, table("Orache,pied avocet,f,shingle aviary,2026-03-04,,,,,,"), ends=broken)
    assert not rows.Bird.objects.filter(house_name="Orache").exists()
    assert not rows.ImportBatch.objects.exists()
