"""The description of the interface made whole: each kind of fact by name, refusals as problems."""

from __future__ import annotations

from typing import Any

from tarsus.api.problems import PROBLEM_JSON

Description = dict[str, Any]


def described(schema: Description) -> Description:
    """Say what a generator leaves out.

    Args:
        schema: a description by OpenAPI 3.1, made for this question; changed in place.

    Returns:
        The same, where every kind of fact is a schema of its own, told apart by `kind`, and every refusal
        is a problem.
    """
    components = schema["components"]["schemas"]
    told = components["FactsIn"]["properties"]["facts"]
    named = {f"Fact.{kind['title']}": kind for kind in told["items"]["oneOf"]}
    references = {kind["title"]: f"#/components/schemas/{name}" for name, kind in named.items()}
    components |= named
    told["items"] = {
        "oneOf": [{"$ref": place} for place in references.values()],
        "discriminator": {"propertyName": "kind", "mapping": references},
    }
    for operations in schema["paths"].values():
        for operation in operations.values():
            for status, answer in operation["responses"].items():
                contents = answer.get("content", {})
                if int(status) >= 400 and "application/json" in contents:
                    contents[PROBLEM_JSON] = contents.pop("application/json")
    return schema
