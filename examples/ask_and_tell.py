"""Ask who is unseen and tell a weight, with Python alone: TARSUS_URL and TARSUS_TOKEN say where and who."""

import json
import os
import sys
import urllib.request
import uuid
from datetime import UTC, datetime


def ask(path: str, told: object = None) -> dict:
    body = None if told is None else json.dumps(told).encode()
    headers = {"Authorization": f"Bearer {os.environ['TARSUS_TOKEN']}", "Content-Type": "application/json"}
    request = urllib.request.Request(f"{os.environ['TARSUS_URL']}/api/v1{path}", body, headers)
    with urllib.request.urlopen(request, timeout=20) as answer:
        return json.load(answer)


for exhibit in ask("/exhibits")["items"]:
    for bird in ask(f"/exhibits/{exhibit['id']}/presence")["items"]:
        print(exhibit["name"], bird["bird"], bird["advice"])
if len(sys.argv) == 3:  # a bird's number and its weight in grams
    fact = {"id": str(uuid.uuid4()), "kind": "weighed", "at": datetime.now(UTC).isoformat()}
    fact |= {"by": ask("/me")["people"][0], "bird": int(sys.argv[1]), "where": "perch scale"}
    fact["weight_g"] = float(sys.argv[2])
    print(ask("/facts", {"facts": [fact]})["answers"][0])  # the same id told again is written no second time
