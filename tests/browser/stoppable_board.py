"""A board in a process of its own, which a test can stop: prints its port, then serves."""

import sys
from datetime import UTC, datetime, timedelta
from pathlib import Path

sys.path[:0] = [str(Path(__file__).parents[2]), str(Path(__file__).parents[1])]

from board_views import one_job_view  # noqa: E402

from dashboard.app import create_app, make_server  # noqa: E402

if __name__ == "__main__":
    later = datetime.now(UTC) + timedelta(hours=6)
    view = one_job_view(void_after=later, clock="now", chances_void_after=later)
    server = make_server(create_app(view))
    print(server.effective_port, flush=True)
    server.run()
