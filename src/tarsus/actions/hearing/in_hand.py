"""What writes the deed of a handling."""

from __future__ import annotations

from tarsus.actions.bands.fitting import NewBand
from tarsus.actions.care.handling import InHand, Sampled, record_handling
from tarsus.actions.hearing.bound import Values, Wrote
from tarsus.actions.telling import Told

_AS_SAID = (
    "why",
    "engraving_read",
    "weight_g",
    "first_weight_g",
    "fed",
    "scale",
    "nails",
    "condition",
    "treatment",
    "read_before",
    "chase_started_at",
    "release",
    "walked_well",
    "note",
    "tell_vet",
)


def write_handling(told: Told, values: Values) -> Wrote:
    """Write down one handling as it was sent.

    Raises:
        MalformedInput: whatever is wrong with the bird, a band, a weight or a sample.
    """
    in_hand = InHand(
        **{name: values[name] for name in _AS_SAID},
        bands=tuple((one["band"], one["conditions"]) for one in values["bands"]),
        taken_off=tuple((one["band"], one["why"]) for one in values["taken_off"]),
        put_on=tuple(NewBand(**band) for band in values["put_on"]),
        sample=None if values["sample"] is None else Sampled(**values["sample"]),
    )
    return Wrote(record_handling(told=told, bird_id=values["bird"], in_hand=in_hand))
