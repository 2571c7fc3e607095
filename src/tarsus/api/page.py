"""The interface described for people: one page, drawn here, that fetches nothing from anywhere else."""

from __future__ import annotations

from collections import defaultdict
from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.views.decorators.http import require_GET

from tarsus.api.access import for_the_signed_in
from tarsus.api.interface import api
from tarsus.api.problems import KINDS, PROBLEM_JSON

_PLACES = {"path": "in the address", "query": "after the question mark"}


@require_GET
@for_the_signed_in
def page(request: HttpRequest) -> HttpResponse:
    """Every way to ask and every fact to tell, with its types, refusals and an example."""
    schema: dict[str, Any] = dict(api.get_openapi_schema())
    components = schema["components"]["schemas"]
    groups: dict[str, list[dict[str, Any]]] = defaultdict(list)
    for address, operations in schema["paths"].items():
        for method, operation in operations.items():
            groups[operation["tags"][0]].append(_operation(address, method, operation))
    facts = [
        {"name": name.removeprefix("Fact."), "says": kind["description"], "fields": _fields(kind)}
        for name, kind in components.items()
        if name.startswith("Fact.")
    ]
    shapes = [
        {"name": name, "anchor": _anchor(name), "says": kind.get("description", ""), "fields": _fields(kind)}
        for name, kind in sorted(components.items())
        if not name.startswith("Fact.") and kind.get("properties")
    ]
    told = {
        "schema": schema,
        "groups": dict(groups),
        "facts": facts,
        "shapes": shapes,
        "problems": [
            {"status": status, "name": name, "says": says} for status, (name, says) in KINDS.items()
        ],
        "problem_json": PROBLEM_JSON,
    }
    return render(request, "web/interface.html", told)


def _operation(address: str, method: str, operation: dict[str, Any]) -> dict[str, Any]:
    asked = [
        {
            "name": one["name"],
            "type": _type(one["schema"]),
            "where": _PLACES[one["in"]],
            "needed": one.get("required", False),
            "says": one["schema"].get("description", one.get("description", "")),
        }
        for one in operation.get("parameters", ())
    ]
    answer = operation["responses"][200]["content"]["application/json"]["schema"]
    body = operation.get("requestBody", {}).get("content", {}).get("application/json", {}).get("schema", {})
    return {
        "address": address,
        "method": method.upper(),
        "summary": operation["summary"],
        "asked": asked,
        "body": _shape(body),
        "answer": _shape(answer),
    }


def _shape(schema: dict[str, Any]) -> dict[str, str]:
    """What is told, with where on the page it is explained; of a list, its items."""
    reference = schema.get("$ref", schema.get("items", {}).get("$ref", ""))
    name = reference.rpartition("/")[2]
    return {"words": _type(schema) if schema else "", "anchor": _anchor(name) if name else ""}


def _anchor(name: str) -> str:
    return f"shape-{name.strip('_')}"


def _fields(kind: dict[str, Any]) -> list[dict[str, Any]]:
    needed = kind.get("required", ())
    return [
        {
            "name": name,
            "type": _type(field),
            "needed": name in needed,
            "says": field.get("description", ""),
        }
        for name, field in kind.get("properties", {}).items()
    ]


def _type(schema: dict[str, Any]) -> str:
    """A type in words: *whole number, 1 to 500*."""
    if "$ref" in schema:
        return str(schema["$ref"]).rpartition("/")[2]
    if "anyOf" in schema:
        return " or ".join(dict.fromkeys(_type(one) for one in schema["anyOf"]))
    if "oneOf" in schema:
        return "one of the facts below"
    if "const" in schema:
        return f'"{schema["const"]}"'
    if "enum" in schema:
        return ", ".join(f'"{word}"' for word in schema["enum"])
    kind = schema.get("type", "anything")
    if kind == "array":
        return f"list of {_type(schema.get('items', {}))}"
    words = {
        "integer": "whole number",
        "string": schema.get("format", "text"),
        "object": "object",
        "null": "null",
    }
    low, high = schema.get("minimum"), schema.get("maximum")
    limits = f", {low} to {high}" if low is not None and high is not None else ""
    longest = f", at most {schema['maxLength']} characters" if "maxLength" in schema else ""
    return f"{words.get(kind, kind)}{limits}{longest}"
