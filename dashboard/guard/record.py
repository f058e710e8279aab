"""What the board refuses, and what fails in it, as lines of JSON on the program's stderr.

Log-ins and all that happens to accounts stand in the database (`crewplan account list --events`);
these lines are for whoever runs the server. No password, token or entry is ever in one.
"""

import json
import logging
from datetime import UTC, datetime

from flask import g, request

LOGGER = logging.getLogger("crewplan.board")
_AT_MOST = 200


def note(what: str) -> None:
    """Write down what came of the present request. JSON escapes whatever would end a line."""
    actor = g.get("actor")
    rule = request.url_rule.rule if request.url_rule is not None else ""
    line = {
        "at": datetime.now(UTC).isoformat(timespec="milliseconds"),
        "what": what,
        "who": actor.name if actor is not None else "",
        "role": actor.role if actor is not None else "",
        "address": request.remote_addr or "",
        "method": request.method,
        "rule": rule,  # never the address itself: a link's token is a part of it
        "host": request.headers.get("Host", "")[:_AT_MOST],
    }
    LOGGER.warning("%s", json.dumps(line))
