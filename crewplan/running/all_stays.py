"""Reading a whole record without looking for garbage in it."""

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def all_of_it_stays() -> Iterator[None]:
    """Without looks for garbage among millions of rows of which none is: a fifth of the time."""
    gc.disable()
    try:
        yield
    finally:
        gc.enable()
