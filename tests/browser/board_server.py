"""A board that a browser can be pointed at."""

import threading

from crewplan.running.board_view import BoardView
from dashboard.app import create_app, make_server


def served(view: BoardView) -> str:
    """The address of a board on a free port.

    Its thread ends with the tests: closing the port under open connections only makes noise.
    """
    server = make_server(create_app(view))
    threading.Thread(target=server.run, daemon=True).start()
    return f"http://127.0.0.1:{server.effective_port}"
