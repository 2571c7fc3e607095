"""What a file is a list of, told by its headings in six languages; and the cells of a line."""

from __future__ import annotations

import pytest

from tarsus.tables.list_kinds import BIRDS, ID, KINDS, known_heading, likely_kind, list_columns
from tarsus.tables.park_words import LANGUAGES, language


@pytest.mark.parametrize(
    ("headings", "kind"),
    [
        ("Vogel;Datum;Gewicht (kg)", "weights"),
        ("oiseau;pesé le;poids;balance", "weights"),
        ("ave;fecha;hora;recinto", "sightings"),
        ("vogel;datum;uur", "sightings"),
        ("個体名;日付;体重", "weights"),
        ("検体番号;検査結果;判定日", "results"),
        ("sample;result", "results"),
        ("bird;sex;sexed by;date", "results"),
        ("Serie;von;bis;Größe", "series"),
        ("type de bague;couleur;taille;quantité", "stock"),
        ("nido;especie;inicio;huevos;recinto", "nests"),
        ("nest;begin;eieren;uitgekomen;einde", "nests"),
        ("name;species;sex;exhibit;since;weight;date", BIRDS),
        ("bird;left;right;date", BIRDS),
        ("name;species;exhibit;since", BIRDS),
        ("id;exhibit_id;species_id;name;from_on;to_on", "nests"),
        ("name;species;exhibit;sex", BIRDS),
        ("Name;Ring no;Species;Aviary;1;2;3;4", "ticks"),
        ("Vogel;Mo 1.4.;Di 2.4.;Mi 3.4.", "ticks"),
        ("oiseau;lun 1;mar 2;mer 3", "ticks"),
        ("Date;Kelp;Hazel;Sedge", "ticks"),
        ("Datum;Uhrzeit;Voliere;Art;Gezählt;Nicht gesehen;Pfleger", "rounds"),
        ("日付;時刻;展示場;鳥種;確認数;未確認", "rounds"),
        ("date;bird;time", "sightings"),
        ("date;weight;bird;fed", "weights"),
    ],
)
def test_a_list_is_known_by_its_headings(headings: str, kind: str) -> None:
    assert likely_kind(headings.split(";")) == kind


def test_every_kind_has_words_in_every_language_and_they_lead_to_its_fields() -> None:
    for kind in KINDS.values():
        for code in LANGUAGES:
            sections = language(code).sections
            own = sections.get(kind.name, {})
            assert own or kind.name == "sightings", "nothing but what every list may name"
            words = {**sections["lists"], **own}
            for group in (*kind.needs, *((field,) for field in kind.once)):
                assert any(words.get(field) for field in group), (kind.name, code, group)
            assert set(own) <= set(kind.fields), (kind.name, code)


def test_a_column_said_by_the_park_wins_over_its_heading_and_the_rest_stays_out() -> None:
    columns = list_columns(("bird", "who", "date", "weight", "mood", "id"), KINDS["weights"], {"who": "bird"})
    assert columns.by_field == {"bird": "who", "on": "date", "weight": "weight", ID: "id"}
    assert columns.left_out == ("bird", "mood")
    assert known_heading("Gewicht")
    assert not known_heading("mood")
