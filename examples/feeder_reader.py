"""Send what a transponder reader at a feeder prints, a code a line, as visits that this program folds.

A burst is told with the first line after it, or at the end; where birds are few, let the reader print empty
lines.

TARSUS_URL and TARSUS_TOKEN say where and who; the arguments are the exhibit's number and the antenna's name:
``cat /dev/ttyUSB0 | python feeder_reader.py 3 "north feeder"``
"""

import json
import os
import sys
import urllib.request
import uuid
from datetime import UTC, datetime

PAUSE = 60  # seconds without a read that end a burst
TOGETHER = 100  # facts in one sending; the server takes 500 at most
LONGEST = 900  # a chip that lies there for hours is told every quarter of an hour


def ask(path, told=None):
    body = None if told is None else json.dumps(told).encode()
    headers = {"Authorization": f"Bearer {os.environ['TARSUS_TOKEN']}", "Content-Type": "application/json"}
    request = urllib.request.Request(f"{os.environ['TARSUS_URL']}/api/v1{path}", body, headers)
    with urllib.request.urlopen(request, timeout=20) as answer:
        return json.load(answer)


def tell(over):
    """Tell the bursts that are over; whatever gets no answer stays as it is and is told again, id and all."""
    while over:
        together = over[:TOGETHER]
        try:
            answers = ask("/facts", {"facts": together, "clock": datetime.now(UTC).isoformat()})["answers"]
        except OSError as trouble:
            print(f"no answer ({trouble}); kept", file=sys.stderr)
            return
        for fact, answer in zip(together, answers, strict=True):
            print(fact["code"], fact["reads"], answer["outcome"], answer["reason"] or "", flush=True)
        del over[:TOGETHER]


def main(exhibit, antenna):
    keeper = ask("/me")["people"][0]
    bursts, over = {}, []
    for line in sys.stdin:
        code, now = line.strip(), datetime.now(UTC)
        stale, old = (datetime.fromtimestamp(now.timestamp() - s, UTC).isoformat() for s in (PAUSE, LONGEST))
        # What may have been told is never added to: the next read of that code begins a burst of its own.
        for ended in [burst for burst in bursts.values() if burst["until"] < stale or burst["at"] < old]:
            over.append(bursts.pop(ended["code"]))
        if code and code not in bursts:
            bursts[code] = {"id": str(uuid.uuid4()), "kind": "transponder_read", "at": now.isoformat()}
            bursts[code] |= {"by": keeper, "exhibit": exhibit, "antenna": antenna, "code": code, "reads": 0}
        if code:
            bursts[code] |= {"until": now.isoformat(), "reads": bursts[code]["reads"] + 1}
        tell(over)
    over.extend(bursts.values())
    tell(over)
    if over:
        sys.exit(f"{len(over)} bursts were not told")


if __name__ == "__main__":
    main(int(sys.argv[1]), sys.argv[2])
