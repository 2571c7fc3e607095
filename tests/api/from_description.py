"""Questions and facts made from the interface's own description: mostly as it says, sometimes amiss."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

HOSTILE = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-(10**30), 10**30),
    st.floats(),
    st.text(max_size=20),
    st.sampled_from(
        ["", "\x00", "\ud7ff", "0", "-1", "1e400", "2026-02-30", "9999-12-31", "0001-01-01", "'; --"]
    ),
    st.lists(st.integers(), max_size=2),
    st.dictionaries(st.text(max_size=5), st.integers(), max_size=2),
)
MOMENTS = (
    *("2026-06-11T06:41:00Z", "2026-06-11T07:41:00+01:00", "2026-05-02T06:00:00Z", "2026-11-28T10:00:00Z")
    * 4,
    "0001-01-01T00:00:00Z",
    "9999-12-31T23:59:59-14:00",
    "1969-12-31T23:59:59.999999Z",
)
DAYS = (*("2026-06-11", "2026-03-01", "2026-05-30") * 3, "0001-01-01", "9999-12-31")


class Described:
    """A description, with ids of the register to ask of so that not every question misses."""

    def __init__(self, told: dict[str, Any], ids: list[int]) -> None:
        self.told, self.ids = told, ids

    def operations(self) -> st.SearchStrategy[tuple[str, str, dict[str, Any]]]:
        """Any way to ask."""
        ways = [(a, m, o) for a, by_method in self.told["paths"].items() for m, o in by_method.items()]
        return st.sampled_from(ways)

    def parameter(self, one: dict[str, Any]) -> st.SearchStrategy[Any]:
        """What to ask with."""
        as_said = self.value(one["schema"])
        if one["in"] == "path":
            if one["name"] == "name":
                return st.sampled_from(["weights", "presence", "deaths", "inventory", "nothing", "%00"])
            amiss = st.sampled_from([0, -1, 10**30, "x", "%00", "é"])
            return st.one_of(as_said, *[st.sampled_from(self.ids)] * 8, amiss)
        return st.one_of(*[as_said] * 9, HOSTILE)

    def body(self, operation: dict[str, Any]) -> st.SearchStrategy[Any]:
        """What to tell, nothing where nothing is."""
        content = operation.get("requestBody", {}).get("content", {}).get("application/json", {})
        return self.value(content["schema"]) if content else st.none()

    def value(self, schema: dict[str, Any]) -> st.SearchStrategy[Any]:
        """A value as a schema has it; one in some is amiss."""
        if "$ref" in schema:
            return st.deferred(lambda: self.value(self._referred(schema["$ref"])))
        for several in ("oneOf", "anyOf"):
            if several in schema:
                return st.sampled_from(schema[several]).flatmap(self.value)
        if "const" in schema:
            return st.just(schema["const"])
        if "enum" in schema:
            return st.sampled_from(schema["enum"])
        return self._of_type(schema)

    def _of_type(self, schema: dict[str, Any]) -> st.SearchStrategy[Any]:
        low, high = schema.get("minimum"), schema.get("maximum")
        match schema.get("type"):
            case "integer":
                known = [pk for pk in self.ids if (low is None or pk >= low) and (high is None or pk <= high)]
                return st.one_of(st.integers(low, high), *([st.sampled_from(known)] * 5 if known else []))
            case "number":
                return st.floats(low, high, allow_nan=False, allow_infinity=False)
            case "boolean":
                return st.booleans()
            case "null":
                return st.none()
            case "array":
                items = self.value(schema.get("items", {}))
                return st.lists(items, min_size=schema.get("minItems", 0), max_size=3)
            case "object":
                return self._object(schema)
            case "string":
                return self._text(schema)
        return HOSTILE

    def _object(self, schema: dict[str, Any]) -> st.SearchStrategy[Any]:
        fields = schema.get("properties")
        if not fields:
            return st.dictionaries(st.text(max_size=8), HOSTILE, max_size=3)
        needed = set(schema.get("required", ()))
        whole = st.fixed_dictionaries(
            {name: self.value(field) for name, field in fields.items() if name in needed},
            optional={name: self.value(field) for name, field in fields.items() if name not in needed},
        )
        one_amiss = st.tuples(whole, st.sampled_from(sorted(fields)), HOSTILE).map(
            lambda told: {**told[0], told[1]: told[2]}
        )
        return st.one_of(*[whole] * 5, one_amiss)

    def _text(self, schema: dict[str, Any]) -> st.SearchStrategy[Any]:
        match schema.get("format"):
            case "uuid":
                return st.uuids().map(str)
            case "date-time":
                return st.sampled_from(MOMENTS)
            case "date":
                return st.sampled_from(DAYS)
        return st.text(max_size=min(schema.get("maxLength", 30), 30))

    def _referred(self, place: str) -> Any:
        found: Any = self.told
        for part in place.removeprefix("#/").split("/"):
            found = found[part]
        return found
