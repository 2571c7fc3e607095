"""A sound document of each command that reads one: answered as it stands, and what is damaged on purpose."""

from __future__ import annotations

from typing import Any

PALETTE = {"red": "#c1121f", "blue": "#1d4ed8", "yellow": "#f2c200", "white": "#f5f5f0"}
BIRDS = [
    {"id": "A01", "marks": {"left leg": ["metal"], "right leg": ["red", "blue"]}},
    {"id": "[bold]B", "marks": {"left leg": ["metal"], "right leg": ["yellow", "blue"]}, "prior": 0.5},
]
READING = {"left leg": ["metal"], "right leg": ["red", "?"]}
READ = {"palette": PALETTE, "reader": "trained", "birds": BIRDS, "strangers": 0.001}
SOUND: dict[str, dict[str, Any]] = {
    "identify": {
        **READ,
        "readings": [READING, {"right leg": ["yellow", "*"], "swap": 0.2}],
        "light": "dusk",
        "mud": False,
    },
    "reconcile": {**READ, "groups": [[READING, {}], [{"right leg": ["yellow"]}]], "light": "not said"},
    "assign": {
        "palette": PALETTE,
        "reader": "trained",
        "rule": {
            "metal": {"F": "left leg", "M": "right leg", "U": None},
            "colours": {"F": {"right leg": 2}, "M": {"left leg": 2}, "U": {"left leg": 1, "right leg": 1}},
            "repeat_on_a_site": True,
            "seconds": 0.2,
        },
        "worn": [{"id": "A01", "sex": "F", "marks": BIRDS[0]["marks"]}],
        "wanted": [{"id": "new-1", "sex": "F"}, {"id": "new-2", "sex": "M", "mate": "A01"}],
        "stock": {"red": 12, "blue": 3},
    },
    "watch": {
        "rounds": ["2026-03-01", "2026-03-02", "2026-03-03"],
        "seen": {"A01": "1.0", "[bold]B": "x10"},
        "gone_per_year": 0.05,
        "max_unseen_days": 3,
    },
    "learn": {
        "palette": PALETTE,
        "reader": "trained",
        "checks": [{"read": READING, "worn": BIRDS[0]["marks"]}],
    },
    "weights": {
        "weights": [
            {"at": "2026-01-03T07:30", "grams": 301, "scale": "hanging", "fed": False, "moulting": False},
            {"at": "2026-02-03T07:30", "grams": 270},
        ],
        "prompt_percent": 5,
        "alarm_percent": 10,
    },
    "catch-up": {
        "minutes": 20,
        "chase": 5,
        "birds": [
            {"id": "A01", "worth": 6.0, "minutes": 4, "mate": "A02", "must": False, "never": False},
            {"id": "A02", "worth": 2.0, "minutes": 4},
        ],
    },
    "inventory": {
        "first": "2026-11-01",
        "last": "2026-11-30",
        "birds": [
            {
                "id": "A01",
                "species": "Pied avocet",
                "owned": True,
                "events": [
                    {"on": "2020-05-01", "what": "hatched", "sex": "U"},
                    {"on": "2026-11-07", "what": "resexed", "sex": "F"},
                ],
            }
        ],
    },
    "photograph": {
        "palette": PALETTE,
        "mean": 0.21,
        "metal": [[128, 123, 104], [120, 121, 119]],
        "bands": [[[118, 21, 54], [110, 25, 60]], [[54, 50, 200], [60, 61, 190]]],
        "birds": BIRDS,
        "reader": "trained",
        "worn": {"left leg": ["metal"], "right leg": [0, 1]},
        "camera": {
            "exponent": 0.5,
            "ageing": [0.35, 0.17, 0.12, 0.15, 0.09, 0.12],
            "ageing_of": {"red": [0.1, 0.15, 0.45, 0.1, 0.05, 0.15]},
        },
    },
}
