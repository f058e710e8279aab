"""Who runs the program, as the machine knows them."""

import getpass


def os_user() -> str:
    """The name that somebody is logged in by; 'unknown' where the machine has none."""
    try:
        return getpass.getuser()
    except (KeyError, OSError):
        return "unknown"
