"""Who may do what, written by hand: a slip in a declaration is seen here, not copied."""

from __future__ import annotations

from tarsus.core.deeds.register import DEEDS
from tarsus.core.deeds.rights import passes_for

ROLES = ("viewer", "keeper", "lead", "vet", "records", "administrator")

# One column a role: viewer, keeper, lead, vet, records, administrator. Judged by what each of them answers
# for in a park: the vet for health and release, records for the books, the lead for marks and catches.
MATRIX = """
round_started         - k l v r a
round_closed          - k l v r a
round_not_done        - k l v r a
round_reopened        - k l v r a
round_light           - k l v r a
count                 - k l v r a
group                 - k l v r a
sighting              - k l v r a
withdrawn             - k l v r a
set_aside             - k l v r a
report                - k l v r a
report_answered       - k l v r a
transponder_read      - k l v r a
perch_weight          - k l v r a
concern               - k l v r a
band_found            - k l v r a
note                  - k l v r a
bird_added            - - l - r a
birds_come            - - l - r a
bird_changed          - - l - r a
arrival               - - l - r a
quarantine_released   - - - v - -
moved                 - k l v r a
whereabouts           - k l v r a
presumed_dead         - - l v r a
not_looked_for        - k l v r a
looked_for_again      - k l v r a
departure             - - l - r a
owner_changed         - - l - r a
death                 - k l v r a
carcase_named         - k l v r a
post_mortem           - - - v r a
sex_sample            - k l v - a
sex_finding           - - l v r a
sample_sent           - k l v r a
sample_unanswered     - - l v r a
result_unplaced       - - l v r a
result_placed         - - l v r a
transponder_given     - - l v r a
visitor_story         - - l - - a
natural_mark          - k l v r a
natural_mark_reviewed - k l v r a
pair_formed           - k l v r a
pair_parted           - k l v r a
band_on               - - l - r a
band_off              - - l - r a
band_never_worn       - - l - r a
band_checked          - k l v r a
band_owner_named      - k l v r a
marks_kept            - - l - - a
marks_dropped         - - l - - a
stock_changed         - - l - r a
stock_counted         - - l - r a
stock_order_below     - - l - r a
metal_series_added    - - l - r a
handling              - k l v r a
weighed               - k l v r a
health_check          - k l v - a
next_day_check        - k l v - a
case_opened           - k l v - a
case_note             - k l v - a
case_closed           - - - v - -
instruction           - - - v - -
body_condition        - k l v r a
treatment             - - - v - -
treatment_rechecked   - k l v - a
treatment_ended       - - - v - -
reason_signed         - - l v - -
catch_up_kept         - - l v - a
catch_up_dropped      - - l v - a
not_handled           - k l v - a
catch_up_finished     - - l v - a
forecast              - - l v - a
nest_begun            - k l v - a
nest_event            - k l v - a
bird_from_nest        - k l v r a
nest_ended            - k l v - a
inventory_signed      - - - - r a
park_set              - - l - - a
exhibit_saved         - - l - - a
place_saved           - - l - - a
exhibit_plan_set      - - l - - a
colour_saved          - - l - - a
published_colours     - - l - - a
species_saved         - - l - - a
limits_set            - - - v - -
rule_set              - - l - - a
mail_set              x k l v r a
phone_news_asked      x k l v r a
phone_news_ended      x k l v r a
shift_note            - k l v r a
today_seen            x k l v r a
person_saved          - - - - - a
password_set          - - - - - a
own_password_set      x k l v r a
own_pin_set           - k l v - a
eyes_set              x k l v r a
device_token_given    - - l - - a
device_token_taken_back - - l - - a
phone_handed_over     - k l v - a
photograph            - k l v r a
photograph_removed    - k l v r a
practice_sharing      - k l v r a
practice_shared       - k l v r a
second_step_set       x k l v r a
second_step_off       x k l v r a
second_step_reset     - - - - - a
own_sessions_ended    x k l v r a
sessions_ended        - - - - - a
"""


def by_hand() -> dict[str, tuple[bool, ...]]:
    lines = [line.split() for line in MATRIX.strip().splitlines()]
    return {name: tuple(mark != "-" for mark in marks) for name, *marks in lines}


def test_every_deed_may_be_done_by_whom_the_table_says() -> None:
    table = by_hand()
    assert table.keys() == DEEDS.keys(), "write the new deed's line by hand"
    found = {
        name: tuple(deed.allowed_to(role) for role in ROLES)
        for name, deed in DEEDS.items()
        if tuple(deed.allowed_to(role) for role in ROLES) != table[name]
    }
    assert not found


def test_a_viewer_sets_what_is_its_own_and_somebody_of_no_known_role_nothing() -> None:
    assert {name for name, deed in DEEDS.items() if deed.allowed_to("viewer")} == {
        "own_password_set",
        "eyes_set",
        "mail_set",
        "phone_news_asked",
        "phone_news_ended",
        "today_seen",
        "second_step_set",
        "second_step_off",
        "own_sessions_ended",
    }
    assert not [name for name, deed in DEEDS.items() if deed.allowed_to("boss")]


def test_the_vets_own_deeds_are_nobody_elses() -> None:
    assert not passes_for("administrator", "vet")
    assert not passes_for("lead", "vet")
    assert passes_for("vet", "keeper")
    assert not passes_for("keeper", "vet")
    assert not passes_for("records", "keeper")
